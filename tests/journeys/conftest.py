"""A real browser on the live server: Debian's Chromium, driven by Playwright."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from qc.bootstrap.system_packages import chromium
from tests.journeys.person import Person
from tests.people import PASSWORD, People

QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for all journeys."""
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=chromium(), args=list(QUIET))
        yield launched
        launched.close()


def breaches(said: str) -> list[str]:
    """What the console says of the page's own security policy."""
    return [said] if "Content Security" in said else []


@pytest.fixture
def visit(browser: Browser, live_server: Any, people: People) -> Iterator[Any]:
    """Log in as a person of the cast, on a phone or at a desk; page errors fail the test."""
    pages: list[Page] = []
    problems: list[str] = []

    def log_in(username: str, viewport: dict[str, int] | None = None) -> Person:
        context = browser.new_context(viewport=viewport or PHONE, base_url=live_server.url)  # type: ignore[arg-type]
        page = context.new_page()
        page.set_default_timeout(15_000)
        # An approval renders the certificate before it answers.
        page.set_default_navigation_timeout(60_000)
        page.on("pageerror", lambda error: problems.append(str(error)))
        page.on("console", lambda said: problems.extend(breaches(said.text)))
        pages.append(page)
        person = Person(page)
        person.log_in(username, PASSWORD)
        return person

    yield log_in
    for page in pages:
        page.context.close()
    assert problems == []
