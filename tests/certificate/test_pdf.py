"""The PDF: archival, tagged, with the record inside, the same bytes whenever it is made."""

import hashlib
import io
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pikepdf
import pypdf
import pytest

from qc.certificate.assets import FONT_CONFIGURATION, SHEETS
from qc.certificate.job import Unprintable
from qc.certificate.page import render_html
from qc.certificate.pdf import Limits, job_of, render_pdf
from qc.ledger.canonical import canonical, digest
from tests.certificate.reading import pages_of, run_together
from tests.certificate.repairs import coating, crowded, small, wrap

ROOT = Path(__file__).resolve().parents[2]
SMALLEST = 8.0
"""Points. Nothing on the certificate is printed smaller."""


@pytest.fixture(scope="module")
def pdf() -> bytes:
    return render_pdf(render_html(wrap()), wrap())


@pytest.fixture(scope="module")
def pages(pdf: bytes) -> list[str]:
    return pages_of(pdf)


@pytest.fixture(scope="module")
def opened(pdf: bytes) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        yield document


def test_it_says_it_is_pdf_a_3a_and_has_what_that_asks(opened: pikepdf.Pdf) -> None:
    metadata = opened.open_metadata()
    root = opened.Root

    assert (metadata["pdfaid:part"], metadata["pdfaid:conformance"]) == ("3", "A")
    assert root.OutputIntents[0].S == "/GTS_PDFA1"
    assert root.OutputIntents[0].DestOutputProfile.read_bytes()
    assert len(opened.trailer.ID) == 2
    assert opened.pdf_version == "1.7"
    assert not opened.is_encrypted


def test_it_is_tagged_titled_and_has_a_language(opened: pikepdf.Pdf) -> None:
    root = opened.Root

    assert root.MarkInfo.Marked
    assert root.Lang == "en"
    assert root.ViewerPreferences.DisplayDocTitle
    assert str(opened.docinfo.Title).startswith("QR-sq-26-R-014 revision 1")
    assert str(opened.docinfo.CreationDate) == "D:20260514154200Z"
    assert all(page.Tabs == "/S" for page in opened.pages)


def test_nothing_in_it_acts(opened: pikepdf.Pdf) -> None:
    assert "/OpenAction" not in opened.Root
    assert "/AA" not in opened.Root
    assert "/JavaScript" not in opened.Root.Names
    assert not [page for page in opened.pages if "/Annots" in page]


def test_every_typeface_is_embedded_and_can_be_read_back(opened: pikepdf.Pdf) -> None:
    fonts = {name: font for page in opened.pages for name, font in page.Resources.Font.items()}

    assert fonts
    for font in fonts.values():
        descriptor = font.DescendantFonts[0].FontDescriptor
        assert any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))
        assert "/ToUnicode" in font
        assert re.search(r"Record|Digest|Other", str(font.BaseFont))


def _elements(node: Any) -> Iterator[Any]:
    if isinstance(node, pikepdf.Array):
        for kid in node:
            yield from _elements(kid)
    elif isinstance(node, pikepdf.Dictionary):
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from _elements(node.K)


def test_headings_tables_and_lists_are_marked_as_such(opened: pikepdf.Pdf) -> None:
    tags = [str(element.S) for element in _elements(opened.Root.StructTreeRoot.K)]
    levels = [int(tag[2:]) for tag in tags if re.fullmatch(r"/H\d", tag)]

    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in zip(levels, levels[1:], strict=False))
    assert tags.count("/TH") > tags.count("/Table")
    assert "/Figure" not in tags


def test_the_record_travels_inside_and_its_digest_is_the_one_that_was_signed(
    opened: pikepdf.Pdf, pages: list[str]
) -> None:
    record = opened.attachments["record.json"].get_file().read_bytes()
    certifying = json.loads(opened.attachments["certificate.json"].get_file().read_bytes())

    assert hashlib.sha256(record).hexdigest() == wrap()["record_digest"]
    assert certifying | {"record": json.loads(record)} == wrap()
    assert wrap()["record_digest"] in run_together(pages[0])


def test_the_files_inside_say_what_they_are(opened: pikepdf.Pdf) -> None:
    described = [opened.attachments[name].obj for name in ("record.json", "certificate.json")]

    for spec in described:
        assert spec.AFRelationship == "/Data"
        assert "QR-sq-26-R-014" in str(spec.Desc)
        parameters = spec.EF.F.Params
        assert str(parameters.CreationDate) == str(parameters.ModDate) == "D:20260514154200Z"
        assert spec.EF.F.Subtype == "/application/json"
    assert {str(one.F) for one in opened.Root.AF} == {"record.json", "certificate.json"}


def test_every_page_carries_its_number_of_how_many_and_the_short_digest(pages: list[str]) -> None:
    short = wrap()["record_digest"][:16]

    for number, text in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in text
        assert "QR-sq-26-R-014" in text
        assert f"record{short}" in run_together(text)


def test_heads_of_a_table_are_repeated_on_the_next_page(pages: list[str]) -> None:
    scoped = [text for text in pages if "What was asked, and its source" in text]

    assert len(scoped) == 3


def test_the_printed_figures_are_read_back(pages: list[str]) -> None:
    text = " ".join(pages)

    for said in ("14.2 71 9.0 15.1, 16.8 6.1", "9.96, 10.4", "54.6 µm", "at least 3 °C"):
        assert said in text


def test_signatures_are_read_back(pages: list[str]) -> None:
    text = run_together(" ".join(pages))

    for party in ("Inspected and recorded as stated", "Work done as recorded", "Record approved"):
        assert run_together(party) in text
    assert run_together("14 May 2026 16:31 (UTC+01:00)") in text
    assert run_together("14 May 2026 15:31 UTC") in text


def _sizes(page: Any) -> Iterator[float]:
    """The sizes in which a page shows text, in points on paper."""
    scales, size, text = [Decimal(1)], Decimal(0), Decimal(1)
    for instruction in pikepdf.parse_content_stream(page):
        operands: Any = instruction.operands
        match str(instruction.operator):
            case "q":
                scales.append(scales[-1])
            case "Q":
                scales.pop()
            case "cm":
                scales[-1] *= abs(Decimal(operands[3]))
            case "Tf":
                size = Decimal(operands[1])
            case "Tm":
                text = abs(Decimal(operands[3]))
            case "TJ" | "Tj":
                yield float(size * text * scales[-1])


def test_nothing_is_printed_too_small_to_read(opened: pikepdf.Pdf) -> None:
    sizes = [size for page in opened.pages for size in _sizes(page)]

    assert len(sizes) > 1000
    assert min(sizes) >= SMALLEST - 0.01


def _contrast(colour: str) -> float:
    """Contrast with white paper, WCAG 2.2, relative luminance."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 1.05 / (luminance + 0.05)


def test_every_colour_of_type_stands_out_from_paper_and_stays_so_in_grey() -> None:
    css = (SHEETS / "certificate.css").read_text()
    colours = set(re.findall(r"[{;\s]color: #([0-9a-f]{6})", css))

    assert len(colours) >= 6
    assert all(_contrast(colour) >= 7 for colour in colours)


def test_each_outcome_has_a_mark_of_its_own_shape() -> None:
    shapes = [
        re.sub(r"#[0-9a-f]{6}", "", (SHEETS / "marks" / f"{outcome}.svg").read_text())
        for outcome in ("conforms", "does_not_conform", "incomplete", "cannot_be_judged")
    ]

    assert len(set(shapes)) == 4


@pytest.fixture(scope="module")
def one() -> bytes:
    return render_pdf(render_html(small()), small())


def test_the_same_snapshot_gives_the_same_bytes_in_any_process(one: bytes) -> None:
    job = job_of(render_html(small()), small()).dumped()
    surroundings = (
        {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C.UTF-8"},
        {"PYTHONHASHSEED": "4711", "TZ": "Asia/Tokyo", "LC_ALL": "C"},
    )

    made = {hashlib.sha256(_press(job, around)).hexdigest() for around in surroundings}

    assert made == {hashlib.sha256(one).hexdigest()}


def _press(job: bytes, around: dict[str, str]) -> bytes:
    return subprocess.run(
        [sys.executable, "-m", "qc.certificate.press", "120", "3072"],
        input=job,
        env={"PATH": os.environ["PATH"], "FONTCONFIG_FILE": str(FONT_CONFIGURATION), **around},
        cwd=ROOT,
        capture_output=True,
        check=True,
    ).stdout


def test_a_rendering_past_its_time_is_stopped() -> None:
    with pytest.raises(Unprintable, match="not done after 1 s"):
        render_pdf(render_html(crowded(1000)), wrap(), Limits(seconds=1))


def test_a_rendering_past_its_memory_is_stopped() -> None:
    with pytest.raises(Unprintable):
        render_pdf(render_html(small()), small(), Limits(mebibytes=64))


def test_a_page_that_asks_for_a_file_is_not_printed() -> None:
    page = render_html(small()).replace("<h1>", '<h1><img alt="x" src="file:///etc/hostname">')

    with pytest.raises(Unprintable, match="hostname"):
        render_pdf(page, small())


def test_us_paper_for_a_repair_in_us_units() -> None:
    made = render_pdf(render_html(coating()), coating())

    with pikepdf.open(io.BytesIO(made)) as document:
        boxes = {tuple(round(float(x)) for x in page.MediaBox) for page in document.pages}
    assert boxes == {(0, 0, 612, 792)}
    assert "at least 6.4 mil" in " ".join(pages_of(made))


def test_long_names_and_many_readings_hold_the_layout() -> None:
    snapshot = crowded()
    made = render_pdf(render_html(snapshot), snapshot)

    pages = pages_of(made)
    assert len(pages) < 20
    assert "Longname" * 24 in run_together(" ".join(pages))
    assert _widest(made) <= 595.3 - 30


def test_a_record_with_one_reading_is_a_certificate_too(one: bytes) -> None:
    assert "Incomplete" in pages_of(one)[0]


def _widest(made: bytes) -> float:
    """How far to the right any text begins, in points."""
    furthest = 0.0

    def seen(text: str, page: list[float], line: list[float], *_: Any) -> None:
        nonlocal furthest
        if text.strip():
            furthest = max(furthest, line[4] * page[0] + page[4])

    for page in pypdf.PdfReader(io.BytesIO(made)).pages:
        page.extract_text(visitor_text=seen)
    return furthest


def test_what_travels_inside_is_canonical() -> None:
    job = job_of("", wrap())

    assert job.enclosures[0].content.encode() == canonical(wrap()["record"])
    assert digest(json.loads(job.enclosures[0].content)) == wrap()["record_digest"]
