"""The renderer reaches its own assets and nothing else, whatever a page asks for."""

import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from weasyprint.urls import FatalURLFetchingError

from qc.certificate.assets import Asset, all_assets
from qc.certificate.job import Job, Unprintable
from qc.certificate.press import compose
from qc.certificate.shelf import Shelf

# The renderer leaves its own colour profile for the collector to close.
pytestmark = pytest.mark.filterwarnings("ignore:unclosed file.*sRGB2014:ResourceWarning")

PAGE = '<!doctype html><html lang="en"><title>t</title>{head}<body>{body}</body></html>'
PIXEL = (
    "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk"
    "YPhfDwAChwGA60e6kgAAAABJRU5ErkJggg=="
)

PROBES = {
    "img": ("", '<img alt="x" src="{url}">'),
    "object": ("", '<object data="{url}">x</object>'),
    "embed": ("", '<embed src="{url}">'),
    "inline style": ("", '<p style="background: url({url})">x</p>'),
    "style sheet": ('<link rel="stylesheet" href="{url}">', ""),
    "import": ("<style>@import url({url});</style>", ""),
    "background": ("<style>body {{ background: url({url}) }}</style>", "x"),
    "list mark": ("<style>li {{ list-style-image: url({url}) }}</style>", "<ul><li>x</ul>"),
    "font": (
        "<style>@font-face {{ font-family: f; src: url({url}) }} p {{ font: 9pt f }}</style>",
        "<p>x</p>",
    ),
    "attachment": ('<link rel="attachment" href="{url}">', "x"),
    "attached link": ("", '<a rel="attachment" href="{url}">x</a>'),
    "svg image": ("", '<svg><title>x</title><image href="{url}" width="9" height="9"/></svg>'),
}


def _page(probe: str, url: str) -> Job:
    head, body = (part.format(url=url) for part in PROBES[probe])
    return Job(html=PAGE.format(head=head, body=body), issued_at="2026-05-14T15:42:00Z")


class _Redirecting(http.server.BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        self.server.hits += 1  # type: ignore[attr-defined]
        self.send_response(302)
        self.send_header("Location", "file:///etc/hostname")
        self.end_headers()

    def log_message(self, *_: object) -> None:
        """Says nothing."""


@contextmanager
def _listener() -> Iterator[http.server.HTTPServer]:
    with http.server.HTTPServer(("127.0.0.1", 0), _Redirecting) as server:
        server.hits = 0  # type: ignore[attr-defined]
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()


@pytest.mark.parametrize("probe", PROBES)
def test_a_local_file_stops_the_rendering(probe: str, tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("p { color: red }")

    with pytest.raises(Unprintable, match="secret.txt"):
        compose(_page(probe, secret.as_uri()))


@pytest.mark.parametrize("probe", PROBES)
def test_an_address_on_the_network_is_never_asked(probe: str) -> None:
    with _listener() as server:
        with pytest.raises(Unprintable):
            compose(_page(probe, f"http://127.0.0.1:{server.server_port}/x"))

        assert server.hits == 0  # type: ignore[attr-defined]


@pytest.mark.parametrize("url", ["ftp://127.0.0.1/x", "https://127.0.0.1/x", "asset:unknown.css"])
def test_no_other_address_is_taken(url: str) -> None:
    with pytest.raises(Unprintable):
        compose(_page("img", url))


def test_a_picture_inside_the_page_is_taken() -> None:
    assert compose(_page("img", PIXEL)).startswith(b"%PDF-")


def test_the_shelf_serves_what_is_on_it_and_remembers_what_was_not() -> None:
    shelf = Shelf({"asset:a.css": Asset(b"p {}", "text/css")})

    assert shelf.fetch("asset:a.css").read() == b"p {}"
    assert shelf.fetch("asset:a.css").content_type == "text/css"
    with pytest.raises(FatalURLFetchingError):
        shelf.open("file:///etc/hostname")
    assert shelf.refused == ["file:///etc/hostname"]


def test_every_asset_that_the_stylesheet_names_is_on_the_shelf() -> None:
    assets = all_assets()
    css = assets["asset:certificate.css"].content.decode()
    named = {part.split('"')[0] for part in css.split('url("')[1:]}

    assert named
    assert named <= set(assets)


def test_what_the_renderer_reports_as_an_error_stops_it() -> None:
    page = PAGE.format(head="", body=f'<img src="{PIXEL}">')

    with pytest.raises(Unprintable, match="alt"):
        compose(Job(html=page, issued_at="2026-05-14T15:42:00Z"))
