"""A person at a browser: what they see, type and press, in words."""

from dataclasses import dataclass

from playwright.sync_api import Page, expect


@dataclass
class Person:
    """Somebody who is logged in."""

    page: Page

    def log_in(self, username: str, password: str) -> None:
        """Enter name and password."""
        self.page.goto("/login/")
        self.page.get_by_label("Name").fill(username)
        self.page.get_by_label("Password").fill(password)
        self.page.get_by_role("button", name="Sign in").click()
        expect(self.page.get_by_role("button", name="Log out")).to_be_visible()

    def opens(self, path: str) -> None:
        """Go to a page."""
        self.page.goto(path)

    def fills(self, name: str, text: str) -> None:
        """Fill the field of this name."""
        self.page.locator(f"[name='{name}']").first.fill(text)

    def ticks(self, label: str) -> None:
        """Tick the box, or choose the tile, whose label begins so."""
        self.page.get_by_label(label, exact=False).first.check()

    def unfolds_everything(self) -> None:
        """Open every folded part of the page."""
        self.page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")

    def reads_verdict(self) -> str:
        """The words of the verdict on the page, on one line."""
        return " ".join(self.page.locator("#verdict").first.inner_text().split()).replace(
            " :", "", 1
        )

    def presses(self, button: str) -> None:
        """Press a button."""
        self.page.get_by_role("button", name=button).first.click()

    def follows(self, link: str) -> None:
        """Follow the first link whose words begin so."""
        self.page.get_by_role("link", name=link).first.click()

    def says_and_presses(self, text: str, button: str) -> None:
        """Write into the form that the button belongs to, and press it."""
        pressed = self.page.get_by_role("button", name=button).first
        form = pressed.locator("xpath=ancestor::form")
        form.locator("textarea").first.fill(text)
        pressed.click()

    def sees(self, *texts: str) -> None:
        """Every text stands on the page."""
        for text in texts:
            expect(self.page.get_by_text(text).first).to_be_visible()

    def uploads(self, name: str, content: bytes) -> None:
        """Choose a file in the first box that takes one."""
        file = {"name": name, "mimeType": "image/jpeg", "buffer": content}
        self.page.locator("input[type='file']").first.set_input_files(file)  # type: ignore[arg-type]

    def downloads(self, path: str) -> bytes:
        """What the server sends for a path."""
        answer = self.page.request.get(path)
        assert answer.ok, answer.status
        return answer.body()

    def width_scrolled(self) -> int:
        """By how many pixels the page is wider than the window."""
        return int(
            self.page.evaluate(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth"
            )
        )
