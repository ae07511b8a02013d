"""A correction is seen everywhere: both readings, the reason, the verdict, the void signatures."""

from typing import Any

import pytest

from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.records.models import Inspection, Repair
from qc.workflow import Observation, correct_inspection
from tests.factories import NOON, THICKNESS, act_on, instrument, put_signature, repair_at
from tests.people import People
from tests.web.visitor import signed_in, text_of

REASON = "6.1 was typed for 5.1"
SIGNING = (Status.INSPECTED, Status.WITH_CLIENT, Status.APPROVED)


def correct(people: People, repair: Repair, values: list[dict[str, Any]]) -> None:
    """The inspector corrects the thickness."""
    wrong = Inspection.objects.get(repair=repair, step__position=THICKNESS)
    correct_inspection(
        repair_id=repair.pk,
        position=THICKNESS,
        inspection_id=wrong.pk,
        reason=REASON,
        observation=Observation(
            readings=values,
            observed_at=NOON,
            instruments=[instrument(people, "depth_gauge").pk],
        ),
        **act_on(people, Party.INSPECTOR),
    )


def page(people: People, repair: Repair, path: str = "", party: Party = Party.CLIENT) -> str:
    return text_of(signed_in(people.of(party)).get(f"/repairs/{repair.pk}/{path}"))


@pytest.mark.parametrize("status", SIGNING)
@pytest.mark.parametrize("path", ["record/", "sign/"])
def test_signatures_that_a_correction_voids_are_shown_with_the_reason(
    people: People, status: Status, path: str
) -> None:
    repair = repair_at(people, status)
    correct(people, repair, [{"values": ["5.6 mm", "5.1 mm", "5.2 mm"]}])
    words = page(people, repair, path)
    struck = signed_in(people.clara).get(f"/repairs/{repair.pk}/{path}").content.decode()

    assert "<s>Inspected and recorded as stated, for Saltmarsh Quay Inspection</s>" in struck
    assert f"Step {THICKNESS} was corrected: {REASON}" in words
    assert "Ines Dunmore (inspector)" in words
    assert words.count("No longer counts.") == SIGNING.index(status) + 1
    assert "Not signed" in words


@pytest.mark.parametrize("status", SIGNING)
def test_after_a_correction_all_three_are_asked_again(people: People, status: Status) -> None:
    repair = repair_at(people, status)
    correct(people, repair, [{"values": ["5.6 mm", "5.1 mm", "5.2 mm"]}])

    words = page(people, repair)
    assert "On site" in words
    assert words.count("Not signed") == 3
    assert "Step 3, Filler thickness: hold point of the client is open." in words


@pytest.mark.parametrize("path", [f"steps/{THICKNESS}/", "record/", "sign/"])
def test_both_readings_stand_with_the_reason(people: People, path: str) -> None:
    repair = repair_at(people, Status.ON_SITE)
    from tests.factories import record

    record(people, repair, THICKNESS)
    correct(people, repair, [{"values": ["5.6 mm", "5.1 mm", "5.2 mm"]}])
    words = page(people, repair, path)

    assert "5.6, 6.1, 5.2" in words and "5.6, 5.1, 5.2" in words
    assert words.count(REASON) >= 2


def test_a_correction_that_fails_reaches_verdict_step_gate_and_report(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    correct(people, repair, [{"values": ["5.6 mm", "4.1 mm"]}])
    words = page(people, repair)

    assert "Step 3, Filler thickness: the latest verdict does not conform." in words
    assert "Nonconformance report 1 is not closed: open." in words
    assert "Does not conform" in page(people, repair, f"steps/{THICKNESS}/")
    assert "Step 3, Filler thickness" in page(people, repair, "reports/1/")


def test_an_old_form_of_a_signature_is_refused_after_a_correction(people: People) -> None:
    repair = repair_at(people, Status.INSPECTED)
    correct(people, repair, [{"values": ["5.6 mm", "5.1 mm", "5.2 mm"]}])

    with pytest.raises(Exception, match="on site"):
        put_signature(people, repair, Party.CONTRACTOR)
