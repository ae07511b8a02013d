"""The record of a repair: every reading and its verdict, corrections, rework, points, evidence."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.evidence.models import Evidence
from qc.ledger.chain import head_of, repair_chain
from qc.records.models import Inspection, Repair
from qc.workflow import Manner, Observation, correct_inspection, return_repair
from tests.factories import (
    AMBIENT,
    FILLER,
    HARDNESS,
    NOON,
    THICKNESS,
    act_on,
    attach,
    close,
    finished_repair,
    instrument,
    planned_repair,
    record,
    repair_at,
    repair_on_site,
)
from tests.people import People
from tests.web.visitor import signed_in, text_of


def read(people: People, repair: Repair, party: Party = Party.CLIENT) -> Any:
    """The record as the person of `party` sees it."""
    return signed_in(people.of(party)).get(f"/repairs/{repair.pk}/record/")


@pytest.mark.parametrize("party", list(Party))
def test_every_party_reads_every_reading_and_its_verdict(people: People, party: Party) -> None:
    words = text_of(read(people, finished_repair(people), party))
    for said in (
        "Air temperature (dry bulb), °C",
        "5.6, 6.1, 5.2",
        "78, 80, 79, 81, 76",
        "Mixing time, least: 4 min",
        "Source: common practice",
        "at least 3 °C",
        "Conforms",
    ):
        assert said in words, said
    assert "Does not conform" not in words


def test_who_when_and_with_what_stand_beside_the_readings(people: People) -> None:
    repair = repair_on_site(people)
    gauge = instrument(people, "hygrometer", identifier="HY-04")
    record(people, repair, AMBIENT, instruments=[gauge.pk], remarks="Wind from the west")
    record(people, repair, FILLER)
    words = text_of(read(people, repair))
    for said in (
        "Ines Dunmore",
        "12 May 2026 12:00",
        "HY-04 (hygrometer), certificate C-",
        "due 31 Dec 2026",
        "B-1 · Metal-filled filler, part A and B, good through 31 Dec 2026",
        "Wind from the west",
    ):
        assert said in words, said


def test_a_failed_series_stays_beside_the_one_after_rework(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    record(people, repair, FILLER)
    record(people, repair, THICKNESS, [{"values": ["4.1 mm", "5.2 mm"]}])
    record(people, repair, THICKNESS, rework="Filler built up at the thin spot")
    words = text_of(read(people, repair))
    assert "4.1, 5.2" in words
    assert "Does not conform" in words
    assert "Filler built up at the thin spot" in words
    assert "5.6, 6.1, 5.2" in words


def test_a_correction_stays_beside_what_it_corrects(people: People) -> None:
    repair = repair_on_site(people)
    entry = record(people, repair, THICKNESS, [{"values": ["5.9 mm"]}])
    correct_inspection(
        repair_id=repair.pk,
        position=THICKNESS,
        inspection_id=entry.stated(Inspection)[0]["id"],
        reason="Misread the gauge",
        observation=Observation(
            readings=[{"values": ["6.9 mm"]}],
            observed_at=NOON,
            instruments=[instrument(people, "depth_gauge").pk],
        ),
        **act_on(people, Party.INSPECTOR),
    )
    words = text_of(read(people, repair))
    assert all(said in words for said in ("5.9", "6.9", "Misread the gauge", "Corrected:"))


def test_points_say_how_they_were_closed_and_by_whom(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS)
    assert "Hold, client: open" in text_of(read(people, repair))
    close(people, repair, THICKNESS, Manner.RELEASED, "seen on site")
    words = text_of(read(people, repair))
    assert "Hold, client: closed" in words
    assert "12 May 2026 12:00 Released by Clara Kestle: seen on site" in words


def test_evidence_is_linked_and_what_is_missing_is_said(people: People) -> None:
    repair = repair_on_site(people)
    assert "Photograph of the gauge Missing" in text_of(read(people, repair))
    entry = attach(people, repair, THICKNESS, "gauge")
    page = read(people, repair)
    place = f"/repairs/{repair.pk}/evidence/{entry.stated(Evidence)[0]['id']}/"
    assert f'href="{place}"' in page.content.decode()
    assert f'src="{place}"' in page.content.decode()
    assert "Gauge on the filler" in text_of(page)


def test_signatures_and_returns_stand_in_the_record(people: People) -> None:
    repair = repair_at(people, Status.WITH_CLIENT)
    words = text_of(read(people, repair))
    assert "Work done as recorded, for Saltmarsh Quay Repairs" in words
    act = act_on(people, Party.CLIENT)
    return_repair(repair_id=repair.pk, reason="Measure at 6 o'clock as well", **act)
    words = text_of(read(people, repair))
    assert "Measure at 6 o'clock as well" in words
    assert "Work done as recorded, for Saltmarsh Quay Repairs No longer counts." in words
    assert words.count("Not signed") == 3


def test_the_repair_its_plan_and_who_agreed_it_come_first(people: People) -> None:
    words = text_of(read(people, repair_on_site(people)))
    for said in ("6-CW-118", "168.3 mm", "7.11 mm", "Pinhole leak, 4 mm", "revision 2"):
        assert said in words, said
    assert "Clara Kestle (client), 12 May 2026 12:00" in words


def test_the_head_of_the_ledger_is_shown(people: People) -> None:
    repair = repair_on_site(people)
    length, head = head_of(repair_chain(repair.pk))
    words = text_of(read(people, repair))
    assert f"{length} entries" in words
    assert head in words


def test_a_repair_just_planned_has_an_empty_record(people: People) -> None:
    words = text_of(read(people, planned_repair(people)))
    assert words.count("Nothing has been recorded.") == 4
    assert "nobody yet" in words


def test_a_long_record_takes_no_more_queries_than_a_short_one(people: People) -> None:
    repair, client, counts = repair_on_site(people), signed_in(people.clara), []
    for position in (AMBIENT, FILLER, THICKNESS):
        record(people, repair, position)
    attach(people, repair, THICKNESS, "gauge")
    close(people, repair, THICKNESS, Manner.RELEASED)
    for _ in range(2):
        record(people, repair, AMBIENT)
        record(people, repair, HARDNESS)
        attach(people, repair, THICKNESS, "gauge")
        with CaptureQueriesContext(connection) as queries:
            client.get(f"/repairs/{repair.pk}/record/")
        counts.append(len(queries))
    assert counts[0] == counts[1]
    assert counts[0] < 60
