"""Starting a repair, revising its plan while it is a draft, and agreeing it."""

from dataclasses import replace
from typing import Any

import pytest

from qc.accounts.access import NotAMember
from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.ledger.chain import Entry
from qc.records.models import Plan, Repair
from qc.records.plan_steps import steps_of, with_criteria
from qc.records.queries import plan_in_force
from qc.records.templates import plan_templates
from qc.workflow import RepairOutline, agree_plan, revise_plan, start_repair
from tests.factories import NOON, SHORT_PLAN, act_on, planned_repair, repair_on_site
from tests.people import People

OUTLINE = RepairOutline(
    number="R-020",
    title="Filler rebuild",
    asset_tag="6-CW-118",
    defect="Wall loss, 40 mm",
    template="composite_wrap",
)


def start(people: People, party: Party = Party.CONTRACTOR, **changes: Any) -> Entry:
    outline = replace(OUTLINE, **changes)
    return start_repair(project_id=people.project.pk, outline=outline, **act_on(people, party))


@pytest.mark.parametrize("template", list(plan_templates()))
def test_a_repair_gets_the_whole_plan_of_its_template(people: People, template: str) -> None:
    entry = start(people, template=template)

    plan = plan_in_force(Repair.objects.get(pk=entry.repair_id))
    shipped = plan_templates()[template]
    assert steps_of(plan) == shipped.steps
    assert [s.position for s in plan.steps.all()] == list(range(1, len(shipped.steps) + 1))


@pytest.mark.parametrize("party", [Party.INSPECTOR, Party.CLIENT])
def test_only_the_contractor_starts_a_repair(people: People, party: Party) -> None:
    with pytest.raises(Refused, match="the contractor can"):
        start(people, party)


def test_an_outsider_finds_no_project(people: People) -> None:
    with pytest.raises(NotAMember):
        start_repair(
            project_id=people.elsewhere.pk,
            outline=OUTLINE,
            **act_on(people, Party.CONTRACTOR),
        )


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ({"template": "tape"}, "no plan template 'tape'"),
        ({"number": " "}, "needs a number"),
        ({"title": ""}, "needs a number, a title and a component"),
    ],
)
def test_a_repair_without_its_particulars_is_refused(
    people: People, changes: dict[str, str], problem: str
) -> None:
    with pytest.raises(Refused, match=problem):
        start(people, Party.CONTRACTOR, **changes)

    assert not Repair.objects.exists()


def test_a_number_is_given_once_in_a_project(people: People) -> None:
    start(people)

    with pytest.raises(Refused, match="R-020 is taken"):
        start(people)


def test_starting_twice_with_one_act_starts_one_repair(people: People) -> None:
    who = act_on(people, Party.CONTRACTOR)

    first = start_repair(project_id=people.project.pk, outline=OUTLINE, **who)
    second = start_repair(project_id=people.project.pk, outline=OUTLINE, **who)

    assert first.pk == second.pk
    assert Repair.objects.count() == 1


def test_the_id_of_another_act_starts_no_repair(people: People) -> None:
    started = start(people)
    agreed = agree_plan(repair_id=started.repair_id, **act_on(people, Party.CLIENT))

    with pytest.raises(Refused, match="used for another act"):
        start_repair(
            project_id=people.project.pk,
            outline=replace(OUTLINE, number="R-021"),
            **{**act_on(people, Party.CONTRACTOR), "act_id": agreed.act_id},
        )


def test_another_size_for_a_component_on_record_is_not_dropped_in_silence(people: People) -> None:
    start(people, wall="7.11 mm")

    with pytest.raises(Refused, match="6-CW-118 is on record as 7.11") as refused:
        start(people, number="R-021", wall="9.53 mm", material="Carbon steel")

    rules = [reason.rule for reason in refused.value.reasons]
    assert rules == ["component.wall", "component.material"]
    assert start(people, number="R-021", wall="7.11 mm").repair_id


def test_a_revision_leaves_the_old_plan_as_it_was(people: People) -> None:
    repair = planned_repair(people)

    assert [p.revision for p in Plan.objects.filter(repair=repair)] == [1, 2]
    assert steps_of(plan_in_force(repair)) == SHORT_PLAN


@pytest.mark.parametrize(
    ("criteria", "sources", "problem"),
    [
        ({"rule": "minimum", "min": "5 apples"}, {}, "apples"),
        ({"rule": "minimum", "min": "5 degC"}, {}, "degC"),
        ({"rule": "hope", "min": "5 mm"}, {}, "hope"),
        ({"rule": "minimum", "min": "9 mm", "max": "5 mm"}, {}, "max"),
        ({"rule": "minimum", "least": "5 mm"}, {}, "criteria.least"),
        ({"rule": "minimum", "min": "5 mm"}, {"rule": "common practice"}, "sources.min"),
    ],
)
def test_a_limit_that_makes_no_sense_is_never_saved(
    people: People, criteria: dict[str, str], sources: dict[str, str], problem: str
) -> None:
    repair = planned_repair(people)
    steps = with_criteria(SHORT_PLAN, "thickness", criteria, sources)

    with pytest.raises(Refused, match=problem):
        revise_plan(
            repair_id=repair.pk, steps=steps, reason="try", **act_on(people, Party.CONTRACTOR)
        )

    assert plan_in_force(repair).revision == 2


def test_an_agreed_plan_stays_in_force_until_the_client_agrees_its_revision(
    people: People,
) -> None:
    repair = repair_on_site(people)

    revise_plan(
        repair_id=repair.pk, steps=SHORT_PLAN, reason="late", **act_on(people, Party.CONTRACTOR)
    )
    assert plan_in_force(repair).revision == 2

    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    assert plan_in_force(repair).revision == 3


def test_a_plan_that_is_agreed_is_not_agreed_again(people: People) -> None:
    repair = repair_on_site(people)

    with pytest.raises(Refused, match="agreed already"):
        agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))


@pytest.mark.parametrize("party", [Party.INSPECTOR, Party.CONTRACTOR])
def test_only_the_client_agrees_the_plan(people: People, party: Party) -> None:
    repair = planned_repair(people)

    with pytest.raises(Refused, match="the client can"):
        agree_plan(repair_id=repair.pk, **act_on(people, party, NOON))
