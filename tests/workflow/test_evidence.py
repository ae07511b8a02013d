"""Evidence is kept by its content; what cannot be evidence is refused with its reason."""

import hashlib
import io
import struct
import zlib

import pytest
from PIL import Image

from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.evidence.inspect import LARGEST_FILE, UnusableFile, inspect_file
from qc.evidence.models import Evidence
from qc.evidence.store import fetch, keep
from qc.workflow import add_evidence
from tests.factories import THICKNESS, act_on, attach, photograph, repair_on_site
from tests.people import People

PDF = b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n%%EOF\n"


def png(width: int, height: int) -> bytes:
    """A PNG that claims a size; its pixels compress to next to nothing."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    rows = zlib.compress(b"\0" * (1 + (width + 7) // 8) * height, 9)
    signature = b"\x89PNG\r\n\x1a\n"
    return signature + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def test_a_file_is_kept_byte_for_byte_under_its_digest() -> None:
    content = photograph()

    sha256 = keep(content)

    assert sha256 == hashlib.sha256(content).hexdigest()
    assert fetch(sha256) == content
    assert keep(content) == sha256


def test_evidence_names_its_content(people: People) -> None:
    repair = repair_on_site(people)

    attach(people, repair, THICKNESS, "gauge")

    evidence = Evidence.objects.get()
    assert evidence.content_type == "image/jpeg"
    assert fetch(evidence.sha256) == photograph()


@pytest.mark.parametrize(
    ("content", "content_type"),
    [(photograph(), "image/jpeg"), (png(40, 30), "image/png"), (PDF, "application/pdf")],
)
def test_a_file_is_known_by_its_content(content: bytes, content_type: str) -> None:
    assert inspect_file(content).content_type == content_type


def gif() -> bytes:
    file = io.BytesIO()
    Image.new("L", (4, 4)).save(file, "GIF")
    return file.getvalue()


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (b"", "empty"),
        (b"<html><script>alert(1)</script></html>", "none of JPEG, PNG or PDF"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "none of JPEG, PNG or PDF"),
        (gif(), "none of JPEG, PNG or PDF"),
        (b"GIF89a/*" + b"\0" * 20 + b"*/=1;alert(1)", "none of JPEG, PNG or PDF"),
        (photograph()[:400], "damaged or cut short"),
        (png(10_000, 10_000), "megapixels"),
        (png(60_000, 60_000), "megapixels"),
        (b"%PDF-1.7 and no end", "cut short"),
        (b"\0" * (LARGEST_FILE + 1), "20"),
    ],
)
def test_what_cannot_be_evidence_is_refused_with_its_reason(content: bytes, problem: str) -> None:
    with pytest.raises(UnusableFile, match=problem):
        inspect_file(content)


@pytest.mark.parametrize(
    ("content", "requirement", "problem"),
    [
        (b"not a picture", "gauge", "none of JPEG, PNG or PDF"),
        (photograph(), "sunset", "asks for no evidence 'sunset'"),
    ],
)
def test_a_refused_upload_leaves_nothing(
    people: People, content: bytes, requirement: str, problem: str
) -> None:
    repair = repair_on_site(people)

    with pytest.raises(Refused, match=problem):
        add_evidence(
            repair_id=repair.pk,
            position=THICKNESS,
            requirement=requirement,
            content=content,
            filename="../../gauge.jpg",
            caption="",
            **act_on(people, Party.CONTRACTOR),
        )

    assert not Evidence.objects.exists()


def test_the_client_uploads_no_evidence(people: People) -> None:
    repair = repair_on_site(people)

    with pytest.raises(Refused, match="contractor or inspector can"):
        add_evidence(
            repair_id=repair.pk,
            position=THICKNESS,
            requirement="gauge",
            content=photograph(),
            filename="gauge.jpg",
            caption="",
            **act_on(people, Party.CLIENT),
        )
