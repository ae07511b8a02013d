"""Evidence: what is missing, adding files all or none, and serving each so that it does nothing."""

import io
from collections.abc import Sequence
from email.message import Message
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from PIL import Image

from qc.evidence import inspect
from qc.evidence.models import Evidence
from qc.evidence.store import keep
from qc.records.models import Repair
from qc.web.files import kept_file
from tests.factories import (
    AMBIENT,
    THICKNESS,
    attach,
    finished_repair,
    photograph,
    planned_repair,
    put_signature,
    repair_on_site,
)
from tests.people import People
from tests.web.visitor import sent, signed_in, text_of

PDF = b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n%%EOF\n"
HTML = b"<html><script>alert(1)</script></html>"


def address(repair: Repair) -> str:
    return f"/repairs/{repair.pk}/evidence/"


def upload(name: str, content: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


def png(width: int = 40, height: int = 30) -> bytes:
    file = io.BytesIO()
    Image.new("1", (width, height)).save(file, "PNG")
    return file.getvalue()


def add(
    client: Client,
    repair: Repair,
    files: Sequence[SimpleUploadedFile],
    position: int | str = THICKNESS,
    requirement: str = "gauge",
    **more: Any,
) -> Any:
    """Send files as the form of one requirement does."""
    data = {
        "act_id": str(uuid4()),
        "position": position,
        "requirement": requirement,
        "caption": "Gauge on the filler",
        "chosen": list(files),
    }
    return client.post(address(repair), data | more, follow=True)


def test_what_is_missing_stands_on_top_with_the_way_to_add_it(people: People) -> None:
    repair = repair_on_site(people)
    page = signed_in(people.carl).get(address(repair))
    words = text_of(page)
    assert "Evidence is missing: 1 thing open" in words
    assert "Step 3, Filler thickness: evidence missing: Photograph of the gauge." in words
    assert f'href="{address(repair)}#step-3"' in page.content.decode()
    assert 'id="step-3"' in page.content.decode()


def test_a_file_is_kept_and_shown_with_its_digest_and_who_added_it(people: People) -> None:
    repair = repair_on_site(people)
    page = add(signed_in(people.carl), repair, [upload("gauge.jpg", photograph())])
    assert page.redirect_chain == [(f"{address(repair)}#step-3", 302)]
    kept, words = Evidence.objects.get(), text_of(page)
    assert "1 file is kept as evidence of step 3." in words
    assert "Everything the plan asks for is there." in words
    assert "gauge.jpg" in words
    assert f"{kept.size} bytes" in words
    assert "By Carl Vale (contractor)" in words
    assert f"<span>{kept.sha256[:4]}</span><span>{kept.sha256[4:8]}</span>" in page.content.decode()
    assert f'src="{address(repair)}{kept.pk}/" alt="Gauge on the filler"' in page.content.decode()


def test_several_files_are_kept_at_once(people: People) -> None:
    repair = repair_on_site(people)
    files = [upload("a.jpg", photograph(1)), upload("b.png", png()), upload("c.pdf", PDF)]
    page = add(signed_in(people.ines), repair, files)
    assert "3 files are kept as evidence of step 3." in text_of(page)
    kept = Evidence.objects.order_by("filename").values_list("content_type", flat=True)
    assert list(kept) == ["image/jpeg", "image/png", "application/pdf"]


def test_the_form_takes_photographs_and_documents_and_several(people: People) -> None:
    page = signed_in(people.carl).get(address(repair_on_site(people))).content.decode()
    assert 'accept="image/*,application/pdf"' in page
    assert "multiple" in page
    assert 'enctype="multipart/form-data"' in page


def test_sent_twice_the_form_keeps_its_files_once(people: People) -> None:
    repair, client, act_id = repair_on_site(people), signed_in(people.carl), str(uuid4())
    for _ in range(2):
        files = [upload("a.jpg", photograph(1)), upload("b.jpg", photograph(2))]
        add(client, repair, files, act_id=act_id)
    assert Evidence.objects.count() == 2


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("page.png", HTML, "page.png: The file is none of JPEG, PNG or PDF."),
        ("page.png", png()[:20] + HTML, "page.png: The"),
        ("drawing.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "drawing.svg: The file is"),
        ("cut.jpg", photograph()[:200], "cut.jpg: The picture is damaged or cut short."),
        ("cut.pdf", PDF[:20], "cut.pdf: The PDF is cut short: its end is missing."),
        ("bomb.png", png(10_000, 10_000), "bomb.png: The picture has more than 50 megapixels."),
    ],
)
def test_a_file_that_is_no_evidence_is_refused_at_its_form(
    people: People, name: str, content: bytes, words: str
) -> None:
    repair = repair_on_site(people)
    page = add(signed_in(people.carl), repair, [upload(name, content)], caption="kept words")
    assert words in text_of(page)
    assert 'value="kept words"' in page.content.decode()
    assert "<title>Error: " in page.content.decode()
    assert not Evidence.objects.exists()


def test_an_empty_file_and_no_file_are_told_apart(people: People) -> None:
    repair, client = repair_on_site(people), signed_in(people.carl)
    assert "nothing.jpg: The file is empty." in text_of(
        add(client, repair, [upload("nothing.jpg", b"")])
    )
    assert "Choose at least one file." in text_of(add(client, repair, []))


def test_a_file_too_large_is_refused_before_it_is_read(
    people: People, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(inspect, "LARGEST_FILE", 400)

    def read(content: bytes) -> None:
        raise AssertionError("looked into")

    monkeypatch.setattr("qc.web.forms.evidence.inspect_file", read)
    page = add(signed_in(people.carl), repair_on_site(people), [upload("a.jpg", photograph())])
    assert "a.jpg: The file has" in text_of(page)


def test_too_many_files_at_once_are_refused(people: People) -> None:
    files = [upload(f"{n}.jpg", photograph(n)) for n in range(21)]
    page = add(signed_in(people.carl), repair_on_site(people), files)
    assert "21 files are too many: up to 20 at once." in text_of(page)


def test_one_bad_file_keeps_the_good_ones_out_and_every_bad_one_is_named(people: People) -> None:
    files = [upload("a.jpg", photograph()), upload("b.jpg", HTML), upload("c.jpg", HTML)]
    page = add(signed_in(people.carl), repair_on_site(people), files)
    words = text_of(page)
    assert "b.jpg: The file is none of JPEG, PNG or PDF." in words
    assert "c.jpg: The file is none of JPEG, PNG or PDF." in words
    assert "Nothing was kept: choose the files again." in words
    assert not Evidence.objects.exists()


def test_a_caption_too_long_is_refused_and_stays(people: People) -> None:
    files = [upload("a.jpg", photograph())]
    page = add(signed_in(people.carl), repair_on_site(people), files, caption="x" * 301)
    assert "301 characters are more than 300." in text_of(page)
    assert "x" * 301 in page.content.decode()


def test_a_file_the_plan_does_not_ask_for_is_kept_with_its_step(people: People) -> None:
    repair = repair_on_site(people)
    files = [upload("weather.jpg", photograph())]
    page = add(signed_in(people.carl), repair, files, position=AMBIENT, requirement="")
    assert Evidence.objects.get(step__position=AMBIENT).requirement == ""
    assert "Other files" in text_of(page)


@pytest.mark.parametrize(
    ("position", "requirement", "words"),
    [
        ("", "", "Choose the step the files belong to."),
        (9, "", "The plan has no step 9."),
        ("first", "", "The plan has no step first."),
        (AMBIENT, "gauge", "the step asks for no evidence 'gauge'"),
    ],
)
def test_a_place_that_the_plan_has_not_is_refused(
    people: People, position: int | str, requirement: str, words: str
) -> None:
    files = [upload("a.jpg", photograph())]
    page = add(signed_in(people.carl), repair_on_site(people), files, position, requirement)
    assert words in text_of(page)
    assert not Evidence.objects.exists()


def test_the_client_reads_and_adds_nothing(people: People) -> None:
    repair, client = repair_on_site(people), signed_in(people.clara)
    page = client.get(address(repair))
    assert 'type="file"' not in page.content.decode()
    assert "Files are added by contractor and inspector" in text_of(page)
    refused = add(client, repair, [upload("a.jpg", photograph())])
    assert refused.status_code == 409
    assert "cannot add evidence; the contractor or inspector can." in text_of(refused)


def test_nothing_is_added_once_the_inspection_is_signed(people: People) -> None:
    repair = finished_repair(people)
    put_signature(people, repair, people.project.memberships.get(user=people.ines).acts_for)
    client = signed_in(people.carl)
    assert 'type="file"' not in client.get(address(repair)).content.decode()
    refused = add(client, repair, [upload("a.jpg", photograph())])
    assert refused.status_code == 409
    assert Evidence.objects.count() == 1


def test_files_can_be_gathered_while_the_plan_is_a_draft(people: People) -> None:
    page = add(signed_in(people.carl), planned_repair(people), [upload("a.jpg", photograph())])
    assert "1 file is kept" in text_of(page)


def test_every_form_on_the_page_can_be_sent_as_it_stands(people: People) -> None:
    repair, client = repair_on_site(people), signed_in(people.carl)
    page = client.get(address(repair))
    wants = [want for step in page.context["steps"] for want in step["wants"]]
    for form in (*(want["form"] for want in wants), page.context["other_form"]):
        data = sent(form) | {"chosen": upload("a.jpg", photograph())}
        data["position"] = data.get("position") or 1
        assert client.post(address(repair), data).status_code == 302


def test_many_files_take_no_more_queries_than_few(people: People) -> None:
    repair, client, counts = repair_on_site(people), signed_in(people.clara), []
    for _ in range(2):
        for _ in range(3):
            attach(people, repair, THICKNESS, "gauge")
        with CaptureQueriesContext(connection) as queries:
            client.get(address(repair))
        counts.append(len(queries))
    assert counts[0] == counts[1]


def kept(people: People, content: bytes, name: str) -> tuple[Repair, str]:
    """A repair with one file on it, and the file's address."""
    repair = repair_on_site(people)
    add(signed_in(people.carl), repair, [upload(name, content)])
    return repair, f"{address(repair)}{Evidence.objects.get().pk}/"


@pytest.mark.parametrize(
    ("content", "kind", "shown"),
    [(photograph(), "image/jpeg", "inline"), (png(), "image/png", "inline"),
     (PDF, "application/pdf", "attachment")],
)  # fmt: skip
def test_a_file_is_served_as_what_it_is_and_can_do_nothing(
    people: People, content: bytes, kind: str, shown: str
) -> None:
    _, place = kept(people, content, "name")
    for who in (people.ines, people.carl, people.clara):
        response = signed_in(who).get(place)
        assert response.content == content
        assert response.headers["Content-Type"] == kind
        assert response.headers["Content-Disposition"].startswith(f"{shown}; ")
        assert response.headers["Content-Security-Policy"] == "sandbox; default-src 'none'"
        assert response.headers["X-Content-Type-Options"] == "nosniff"
        assert response.headers["Cache-Control"] == "private, no-store"


def test_a_stranger_and_another_repair_get_no_file(people: People) -> None:
    _, place = kept(people, photograph(), "a.jpg")
    other = planned_repair(people, number="R-099")
    assert signed_in(people.olu).get(place).status_code == 404
    elsewhere = place.replace(place.split("/")[2], str(other.pk), 1)
    assert signed_in(people.carl).get(elsewhere).status_code == 404


@pytest.mark.parametrize(
    ("name", "plain", "true"),
    [
        ("gauge.jpg", "gauge.jpg", "gauge.jpg"),
        ('a"b;c\\d.jpg', "a_b_c_d.jpg", 'a"b;c\\d.jpg'),
        ("a\r\nSet-Cookie: x=1.jpg", "aSet-Cookie_ x_1.jpg", "aSet-Cookie: x=1.jpg"),
        ("Prüfgerät 测量.jpg", "Pr_fger_t __.jpg", "Prüfgerät 测量.jpg"),
        ("photo.html", "photo.html.jpg", "photo.html.jpg"),
        ("x" * 300, "x" * 300 + ".jpg", "x" * 300 + ".jpg"),
        ("PHOTO.JPEG", "PHOTO.JPEG", "PHOTO.JPEG"),
        ("\x00\u202e", ".jpg", ".jpg"),
    ],
)
def test_a_hostile_name_stays_a_name_in_one_header_line(
    settings: Any, name: str, plain: str, true: str
) -> None:
    response = kept_file(keep(photograph()), "image/jpeg", name)
    header = response.headers["Content-Disposition"]
    assert "\n" not in header
    assert "\r" not in header
    assert header.startswith(f"inline; filename=\"{plain}\"; filename*=UTF-8''")
    parsed = Message()
    parsed["Content-Disposition"] = f"inline; {header.split('; ')[-1]}"
    assert parsed.get_filename() == true
