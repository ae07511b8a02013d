"""Revising a plan that is agreed: from which step, what it changes, and what no longer counts."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.engine.rules import Outcome
from qc.ledger.chain import Entry
from qc.records.models import Plan, Repair
from qc.records.plan_steps import steps_of
from qc.records.progress import StepProgress, progress_of
from qc.records.queries import draft_of, plan_in_force
from qc.records.templates import StepTemplate
from qc.workflow import (
    Manner,
    Observation,
    agree_plan,
    correct_inspection,
    revise_plan,
)
from tests.factories import (
    AMBIENT,
    FILLER,
    HARDNESS,
    NOON,
    READINGS,
    SHORT_PLAN,
    THICKNESS,
    act_on,
    close,
    planned_repair,
    record,
    repair_on_site,
)
from tests.people import People

COLDER = replace(SHORT_PLAN[0], criteria={**SHORT_PLAN[0].criteria, "margin_min": "4 delta_degC"})
THINNER = replace(SHORT_PLAN[2], criteria={"rule": "minimum", "min": "4 mm"})
EXTRA = replace(SHORT_PLAN[0], key="ambient-again", title="Ambient conditions again")


def revise(
    people: People, repair: Repair, steps: Sequence[StepTemplate], reason: str = "why", **more: Any
) -> Entry:
    act = act_on(people, Party.CONTRACTOR)
    return revise_plan(repair_id=repair.pk, steps=steps, reason=reason, **more, **act)


def agree(people: People, repair: Repair) -> Plan:
    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    return plan_in_force(repair)


def with_step(position: int, step: StepTemplate) -> tuple[StepTemplate, ...]:
    return (*SHORT_PLAN[: position - 1], step, *SHORT_PLAN[position:])


def step_of(repair: Repair, position: int) -> StepProgress:
    return progress_of(repair)[position - 1]


def since(plan: Plan) -> list[int]:
    return [step.since for step in plan.steps.all()]


def test_before_the_first_agreement_a_draft_is_changed_without_a_reason(people: People) -> None:
    repair = planned_repair(people)

    revise(people, repair, with_step(1, COLDER), reason="")

    assert (plan_in_force(repair).revision, plan_in_force(repair).reason) == (3, "")


@pytest.mark.parametrize("reason", ["", "  \n"])
def test_after_it_a_revision_needs_its_reason(people: People, reason: str) -> None:
    repair = repair_on_site(people)

    with pytest.raises(Refused, match="needs its reason"):
        revise(people, repair, with_step(3, THINNER), reason=reason)

    assert draft_of(repair) is None


def test_a_revision_applies_from_the_first_step_that_it_changes(people: People) -> None:
    repair = repair_on_site(people)

    revise(people, repair, with_step(3, THINNER))

    draft = draft_of(repair)
    assert draft is not None
    assert (draft.applies_from, since(draft)) == (3, [2, 2, 3, 2])


def test_it_may_be_said_to_apply_from_an_earlier_step(people: People) -> None:
    repair = repair_on_site(people)

    revise(people, repair, with_step(3, THINNER), applies_from=2)

    draft = draft_of(repair)
    assert draft is not None
    assert (draft.applies_from, since(draft)) == (2, [2, 2, 3, 2])


@pytest.mark.parametrize(
    "steps",
    [
        with_step(3, THINNER),
        (*SHORT_PLAN[:2], SHORT_PLAN[3]),
        (*SHORT_PLAN[:2], EXTRA, *SHORT_PLAN[2:]),
        (*SHORT_PLAN[:2], SHORT_PLAN[3], SHORT_PLAN[2]),
    ],
    ids=["changed", "removed", "added", "moved"],
)
def test_what_stands_before_the_step_from_which_it_applies_cannot_change(
    people: People, steps: Sequence[StepTemplate]
) -> None:
    repair = repair_on_site(people)

    with pytest.raises(Refused, match="applies from step 4, and changes step 3"):
        revise(people, repair, steps, applies_from=4)
    assert draft_of(repair) is None

    revise(people, repair, steps, applies_from=3)
    assert draft_of(repair) is not None


@pytest.mark.parametrize("applies_from", [0, -1, 5, 1000])
def test_a_revision_applies_from_a_step_that_there_is(people: People, applies_from: int) -> None:
    repair = repair_on_site(people)

    with pytest.raises(Refused, match="from a step between 1 and 4"):
        revise(people, repair, with_step(4, SHORT_PLAN[3]), applies_from=applies_from)


def test_a_plan_keeps_at_least_one_step(people: People) -> None:
    with pytest.raises(Refused, match="at least one step"):
        revise(people, repair_on_site(people), ())


def test_every_objection_is_told_at_once(people: People) -> None:
    repair = repair_on_site(people)
    wrong = replace(THINNER, criteria={"rule": "hope"}, title="")

    with pytest.raises(Refused) as refused:
        revise(people, repair, with_step(3, wrong), reason="", applies_from=4)

    said = str(refused.value)
    for part in ("title: is required", "'hope'", "needs its reason", "changes step 3"):
        assert part in said


def test_the_old_plan_judges_until_the_client_agrees_the_revision(people: People) -> None:
    repair = repair_on_site(people)
    revise(people, repair, with_step(1, COLDER))
    cold = {"air": "10 degC", "humidity": "62 %", "steel": ["6.6 degC"]}
    readings = [READINGS[AMBIENT][0] | cold]

    record(people, repair, AMBIENT, readings)
    assert step_of(repair, AMBIENT).outcome is Outcome.CONFORMS

    agree(people, repair)
    assert step_of(repair, AMBIENT).outcome is None

    record(people, repair, AMBIENT, readings)
    assert step_of(repair, AMBIENT).outcome is Outcome.DOES_NOT_CONFORM


def test_a_changed_step_is_inspected_again_and_the_others_are_not(people: People) -> None:
    repair = repair_on_site(people)
    for position in (AMBIENT, FILLER, THICKNESS):
        record(people, repair, position)

    revise(people, repair, with_step(3, THINNER))
    agree(people, repair)

    assert [p.outcome for p in progress_of(repair)] == [
        Outcome.CONFORMS,
        Outcome.CONFORMS,
        None,
        None,
    ]
    changed = step_of(repair, THICKNESS)
    assert (len(changed.inspections), changed.counting, changed.standing) == (1, (), ())
    assert changed.series == 2
    record(people, repair, THICKNESS, [{"values": ["4.2 mm"]}])
    again = step_of(repair, THICKNESS)
    assert again.outcome is Outcome.CONFORMS
    assert [i.series for i in again.inspections] == [1, 2]
    assert [r.values for r in again.standing_readings] == [{"values": ["4.2 mm"]}]


def test_after_a_verdict_that_did_not_conform_a_revised_step_asks_for_no_rework(
    people: People,
) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS, [{"values": ["4.2 mm"]}])
    assert step_of(repair, THICKNESS).opens_new_series

    revise(people, repair, with_step(3, THINNER))
    agree(people, repair)

    assert not step_of(repair, THICKNESS).opens_new_series
    record(people, repair, THICKNESS, [{"values": ["4.2 mm"]}])
    assert step_of(repair, THICKNESS).outcome is Outcome.CONFORMS


def test_points_closed_on_what_was_inspected_before_fall(people: People) -> None:
    repair = repair_on_site(people)
    for position in (AMBIENT, FILLER, THICKNESS):
        record(people, repair, position)
    close(people, repair, THICKNESS, Manner.RELEASED)

    revise(people, repair, with_step(3, THINNER))
    agree(people, repair)

    assert step_of(repair, THICKNESS).closure_of(Party.CLIENT) is None
    with pytest.raises(Refused, match="hold point of the client is open"):
        record(people, repair, HARDNESS)


def test_a_point_closed_before_any_inspection_falls_too(people: People) -> None:
    watched = replace(SHORT_PLAN[2], points={"client": "witness"})
    repair = repair_on_site(people, with_step(3, watched))
    close(people, repair, THICKNESS, Manner.ATTENDED)
    assert step_of(repair, THICKNESS).closure_of(Party.CLIENT)

    revise(people, repair, with_step(3, replace(watched, sampling="ten stations")))
    agree(people, repair)

    assert step_of(repair, THICKNESS).closure_of(Party.CLIENT) is None


def test_a_new_revision_leaves_alone_what_it_does_not_change(people: People) -> None:
    repair = repair_on_site(people)
    for position in (AMBIENT, FILLER, THICKNESS):
        record(people, repair, position)
    close(people, repair, THICKNESS, Manner.RELEASED)

    revise(people, repair, (*SHORT_PLAN[:2], EXTRA, *SHORT_PLAN[2:]))
    plan = agree(people, repair)

    assert since(plan) == [2, 2, 3, 2, 2]
    assert step_of(repair, 4).outcome is Outcome.CONFORMS
    assert step_of(repair, 4).closure_of(Party.CLIENT)


def test_a_step_that_only_moves_keeps_what_was_recorded_on_it(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, FILLER)

    revise(people, repair, (SHORT_PLAN[1], SHORT_PLAN[0], *SHORT_PLAN[2:]))
    plan = agree(people, repair)

    assert since(plan) == [2, 2, 2, 2]
    assert step_of(repair, 1).outcome is Outcome.CONFORMS


@pytest.mark.parametrize(
    "changes",
    [
        {"title": "Thickness"},
        {"activity": "Measure it"},
        {"sampling": "ten stations"},
        {"reference": "DN-7"},
        {"rows": 4},
        {"instrument_kinds": ()},
        {"needs_batch": True},
        {"points": {"client": "witness"}},
        {"evidence": ()},
        {"cautions": ("Hot.",)},
        {"prerequisites": ("mixing",)},
        {"windows": ({"after": "mixing", "most": "4 hour", "source": "data sheet"},)},
        {"qualifications": {"applicator": ["filler"]}},
        {"sources": {"rule": "common practice", "min": "DN-7"}},
    ],
    ids=lambda changes: next(iter(changes)),
)
def test_any_other_content_of_a_step_is_content(people: People, changes: dict[str, Any]) -> None:
    repair = repair_on_site(people)
    for position in (AMBIENT, FILLER, THICKNESS):
        record(people, repair, position)

    revise(people, repair, with_step(3, replace(SHORT_PLAN[2], **changes)))
    plan = agree(people, repair)

    assert since(plan) == [2, 2, 3, 2]
    assert step_of(repair, THICKNESS).outcome is None


def test_content_is_compared_with_the_agreed_plan_and_not_with_a_draft(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    revise(people, repair, with_step(1, COLDER))
    revise(people, repair, with_step(3, THINNER))

    plan = agree(people, repair)

    assert (plan.revision, since(plan)) == (4, [2, 2, 4, 2])
    assert step_of(repair, AMBIENT).outcome is Outcome.CONFORMS


def test_a_step_taken_back_to_its_old_content_is_inspected_again(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    revise(people, repair, with_step(1, COLDER))
    agree(people, repair)

    revise(people, repair, SHORT_PLAN)
    plan = agree(people, repair)

    assert since(plan)[0] == 4
    assert step_of(repair, AMBIENT).outcome is None


def test_a_step_removed_and_put_back_is_inspected_again(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    revise(people, repair, SHORT_PLAN[1:])
    agree(people, repair)

    revise(people, repair, SHORT_PLAN)
    agree(people, repair)

    assert step_of(repair, AMBIENT).outcome is None
    assert len(step_of(repair, AMBIENT).inspections) == 1


def test_an_inspection_made_under_an_older_revision_is_not_corrected(people: People) -> None:
    repair = repair_on_site(people)
    entry = record(people, repair, AMBIENT)
    revise(people, repair, with_step(1, COLDER))
    agree(people, repair)

    with pytest.raises(Refused, match="revised for this step since that inspection"):
        correct_inspection(
            repair_id=repair.pk,
            position=AMBIENT,
            inspection_id=step_of(repair, AMBIENT).inspections[0].pk,
            reason="misread",
            observation=Observation(readings=READINGS[AMBIENT], observed_at=NOON),
            **act_on(people, Party.INSPECTOR),
        )
    assert entry.repair_id == repair.pk


def test_the_projects_wording_is_carried_through_a_revision(people: People) -> None:
    repair = planned_repair(people)
    terms = {"hold": {"code": "HP", "wording": "no work past it"}}
    revise(people, repair, SHORT_PLAN, terms=terms)

    revise(people, repair, with_step(1, COLDER))

    assert plan_in_force(repair).terms == terms


def test_drafting_a_revision_twice_with_one_act_drafts_it_once(people: People) -> None:
    repair, act = repair_on_site(people), act_on(people, Party.CONTRACTOR)
    steps = with_step(3, THINNER)

    for _ in range(2):
        revise_plan(repair_id=repair.pk, steps=steps, reason="design changed", **act)

    assert Plan.objects.filter(repair=repair).count() == 3


@pytest.mark.parametrize("party", [Party.INSPECTOR, Party.CLIENT])
def test_only_the_contractor_revises(people: People, party: Party) -> None:
    repair = repair_on_site(people)

    with pytest.raises(Refused, match="the contractor can"):
        revise_plan(repair_id=repair.pk, steps=SHORT_PLAN, reason="x", **act_on(people, party))


def test_readings_taken_before_the_agreement_stay_with_the_plan_they_were_judged_by(
    people: People,
) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS)
    revise(people, repair, with_step(3, THINNER))
    agree(people, repair)
    record(people, repair, THICKNESS, at=NOON + timedelta(hours=1))

    first, second = step_of(repair, THICKNESS).inspections
    assert (first.criteria["min"], first.step.plan.revision) == ("5 mm", 2)
    assert (second.criteria["min"], second.step.plan.revision) == ("4 mm", 3)
    assert steps_of(first.step.plan) == SHORT_PLAN
