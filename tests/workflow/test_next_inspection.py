"""The client sets the day of the next inspection, with its reason, except while one signs."""

import json
from datetime import date
from typing import Any

import pytest

from qc.engine.lifecycle import Refused, Status
from qc.engine.plan import Party
from qc.ledger.chain import Entry
from qc.records.models import InspectionDue, Repair
from qc.workflow import release_certificate, set_next_inspection
from qc.workflow.document import record_document
from tests.factories import act_on, repair_at, repair_on_site
from tests.people import People

DAY = date(2027, 5, 12)


def put(people: People, repair: Repair, party: Party = Party.CLIENT, **changes: Any) -> Entry:
    said: dict[str, Any] = {"due_on": DAY, "reason": "Owner's inspection plan"} | changes
    return set_next_inspection(repair_id=repair.pk, **said, **act_on(people, party))


@pytest.mark.parametrize("status", [Status.PLANNED, Status.ON_SITE])
def test_the_day_and_its_reason_are_kept_and_stated(people: People, status: Status) -> None:
    repair = repair_at(people, status)

    entry = put(people, repair, reason=" Owner's inspection plan ")

    repair.refresh_from_db()
    assert (repair.next_inspection, repair.stands_at) == (DAY, status)
    (stated,) = entry.stated(InspectionDue)
    assert (stated["due_on"], stated["reason"]) == ("2027-05-12", "Owner's inspection plan")
    assert stated["set_by_name"] == "Clara Kestle"
    assert entry.stated(Repair)[0]["next_inspection"] == "2027-05-12"


def test_after_the_release_it_can_be_set_anew_and_the_certificate_stays(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    record = record_document(repair)
    release_certificate(
        repair_id=repair.pk,
        number="QR-1",
        check_code="a" * 24,
        snapshot={"record": record},
        pdf=b"%PDF-1.7",
        **act_on(people, Party.CLIENT),
    )

    put(people, repair)

    repair.refresh_from_db()
    assert (repair.next_inspection, repair.stands_at) == (DAY, Status.RELEASED)
    kept = json.loads(repair.certificates.get().snapshot)["record"]["repair"]["design"]
    assert kept["next_inspection"] == ""


def test_no_further_inspection_can_be_said_too(people: People) -> None:
    repair = repair_on_site(people)
    put(people, repair)

    put(people, repair, due_on=None, reason="Spool replaced")

    repair.refresh_from_db()
    assert repair.next_inspection is None
    assert [row.due_on for row in InspectionDue.objects.all()] == [DAY, None]


@pytest.mark.parametrize("party", [Party.CONTRACTOR, Party.INSPECTOR])
def test_only_the_client_sets_it(people: People, party: Party) -> None:
    with pytest.raises(Refused, match="the client can"):
        put(people, repair_on_site(people), party)


@pytest.mark.parametrize("status", [Status.INSPECTED, Status.WITH_CLIENT, Status.APPROVED])
def test_while_the_record_is_signed_the_day_stays(people: People, status: Status) -> None:
    with pytest.raises(Refused, match="cannot set next inspection now"):
        put(people, repair_at(people, status))


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ({"due_on": date(2026, 5, 11)}, "2026-05-11 is past"),
        ({"reason": " "}, "Say why"),
    ],
)
def test_a_day_past_or_without_a_reason_is_refused(
    people: People, changes: dict[str, Any], problem: str
) -> None:
    repair = repair_on_site(people)
    with pytest.raises(Refused, match=problem):
        put(people, repair, **changes)
    assert not InspectionDue.objects.exists()


def test_today_is_early_enough(people: People) -> None:
    assert put(people, repair_on_site(people), due_on=date(2026, 5, 12)).repair_id
