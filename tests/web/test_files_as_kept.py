"""A file that the store no longer holds as it was kept is not handed out."""

import logging
from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import storages

from qc.evidence.models import Evidence
from qc.evidence.store import Damaged, Lost, fetch, keep
from tests.factories import THICKNESS, attach, photograph, repair_on_site
from tests.people import People
from tests.web.visitor import signed_in, text_of


def place_of(sha256: str) -> Path:
    return Path(storages["evidence"].path(f"{sha256[:2]}/{sha256[2:]}"))


def asked_for(people: People) -> tuple[Any, str]:
    """The answer to asking for the one file on record, after `spoil` was done to it."""
    evidence = Evidence.objects.get()
    client = signed_in(people.clara)
    return client.get(f"/repairs/{evidence.repair_id}/evidence/{evidence.pk}/"), evidence.sha256


@pytest.fixture
def file_on_record(people: People) -> Path:
    attach(people, repair_on_site(people), THICKNESS, "gauge")
    return place_of(Evidence.objects.get().sha256)


def test_a_file_that_is_as_it_was_kept_is_handed_out(people: People, file_on_record: Path) -> None:
    answer, _ = asked_for(people)

    assert (answer.status_code, answer.content) == (200, photograph())


def test_altered_bytes_are_never_handed_out(
    people: People, file_on_record: Path, caplog: pytest.LogCaptureFixture
) -> None:
    file_on_record.write_bytes(photograph(shade=91))

    with caplog.at_level(logging.ERROR):
        answer, sha256 = asked_for(people)
    assert answer.status_code == 500
    assert answer["Content-Type"].startswith("text/html")
    assert "the file was changed in the store" in text_of(answer)
    assert sha256 in caplog.text


def test_a_lost_file_is_told_and_no_fault_page(people: People, file_on_record: Path) -> None:
    file_on_record.unlink()

    answer, _ = asked_for(people)
    assert answer.status_code == 500
    assert "the file is missing from the store" in text_of(answer)


def test_the_store_hands_on_only_what_it_was_given() -> None:
    sha256 = keep(b"content")
    assert fetch(sha256) == b"content"
    place_of(sha256).write_bytes(b"Content")

    with pytest.raises(Damaged):
        fetch(sha256)


@pytest.mark.parametrize("sha256", ["0" * 64, "", "../../etc/passwd", "G" * 64])
def test_what_no_file_is_kept_under_is_lost(sha256: str) -> None:
    with pytest.raises(Lost):
        fetch(sha256)
