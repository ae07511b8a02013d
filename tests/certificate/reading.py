"""Reading a certificate back: the text of a page, as a person would read it."""

import html
import io
import re

import pypdf

BREAKS = re.compile(r"<(/?(tr|p|h[1-6]|li|div|table|section|br)\b[^>]*)>")


def text_of(page: str) -> str:
    """The text of an HTML page; a cell ends with a bar, white space is one space."""
    body = page[page.index("<body") :]
    marked = re.sub(r"</t[dh]>", " | ", BREAKS.sub(" ", body))
    return plain(html.unescape(re.sub(r"<[^>]+>", "", marked)))


def plain(text: str) -> str:
    """`text` with each run of white space, no-break ones too, as one space."""
    return " ".join(text.split())


def pages_of(pdf: bytes) -> list[str]:
    """The text of each page of a PDF."""
    return [plain(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def run_together(text: str) -> str:
    """`text` without white space: a long word is broken over lines on paper."""
    return "".join(text.split())
