"""The contractor writes what the codes of the points mean, and the client sees what has changed."""

from typing import Any

import pytest

from qc.engine.plan import Intervention, terms_of
from qc.records.models import PlanMarkup, Repair
from qc.records.queries import draft_of, plan_in_force
from tests.factories import planned_repair, repair_on_site
from tests.people import People
from tests.web.test_plan_markup import edit, forward
from tests.web.visitor import enter, signed_in, text_of

WITNESS = {
    "witness_code": "W1",
    "witness_wording": "Witness: the owner is called",
    "witness_needs_notice": "on",
    "witness_notice": "48 hour",
    "witness_hours": "working",
    "witness_source": "contract, 4.2",
    "witness_lapses": "on",
}


def change_terms(people: People, repair: Repair, **typed: Any) -> Any:
    return enter(signed_in(people.carl), edit(repair, "terms/"), **typed)


def test_the_wording_of_the_project_is_put_forward_and_agreed(people: People) -> None:
    repair = planned_repair(people)

    assert change_terms(people, repair, **WITNESS).status_code == 200
    shown = text_of(signed_in(people.carl).get(edit(repair)))
    assert "became W1 Witness: Witness: the owner is called" in shown
    assert forward(people, repair).status_code == 200

    draft = draft_of(repair)
    assert draft is not None
    terms = terms_of(draft.terms)[Intervention.WITNESS]
    assert (terms.code, str(terms.notice), terms.lapses) == ("W1", "48 hour", True)
    assert "48 working h" in text_of(signed_in(people.clara).get(f"/repairs/{repair.pk}/plan/"))


def test_an_agreed_plan_keeps_its_codes_until_the_revision_is_agreed(people: People) -> None:
    repair = repair_on_site(people)

    change_terms(people, repair, **WITNESS)
    forward(people, repair, reason="as the contract says")

    assert terms_of(plan_in_force(repair).terms)[Intervention.WITNESS].code == "W"
    page = text_of(signed_in(people.clara).get(f"/repairs/{repair.pk}/plan/"))
    assert "Points: W Witness" in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"witness_needs_notice": "on"}, "is missing: needs_notice asks for a time"),
        ({**WITNESS, "witness_notice": "two days"}, "a time is written as 24 hour"),
        ({**WITNESS, "witness_notice": "48 mm"}, "mm"),
        ({**WITNESS, "witness_source": ""}, "a notice period states its source"),
        ({"hold_code": "W"}, "stands for two interventions"),
        ({"hold_code": ""}, "Say by which code it goes."),
        ({"hold_lapses": "on"}, "a point lapses only after a notice"),
        ({"review_wording": " "}, "Say what the code means"),
    ],
)
def test_terms_that_make_no_sense_are_told_at_their_field_and_not_kept(
    people: People, typed: dict[str, str], said: str
) -> None:
    repair = planned_repair(people)

    page = change_terms(people, repair, **typed)

    assert page.status_code == 200
    assert said in text_of(page)
    assert not PlanMarkup.objects.exists()
