"""Commenting a plan and its drafts."""

from typing import Any

import pytest

from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.ledger.chain import Entry
from qc.records.models import PlanComment, Repair
from qc.workflow import comment_plan
from tests.factories import act_on, planned_repair, repair_on_site
from tests.people import People
from tests.workflow.test_plan_revisions import THINNER, revise, with_step


def comment(people: People, repair: Repair, party: Party = Party.CLIENT, **more: Any) -> Entry:
    said: dict[str, Any] = {"revision": 2, "step_key": "thickness", "text": "Why five?"} | more
    return comment_plan(repair_id=repair.pk, **said, **act_on(people, party))


@pytest.mark.parametrize("party", list(Party))
@pytest.mark.parametrize("step_key", ["", "thickness"])
def test_every_party_comments_the_plan_or_a_step(
    people: People, party: Party, step_key: str
) -> None:
    repair = planned_repair(people)

    comment(people, repair, party, step_key=step_key)

    (kept,) = PlanComment.objects.all()
    assert (kept.plan.revision, kept.step_key, kept.party) == (2, step_key, party)
    assert kept.written_by_name == people.of(party).printed_name


@pytest.mark.parametrize(
    ("more", "problem"),
    [
        ({"revision": 1}, "revised since: comment on revision 2"),
        ({"revision": 3}, "comment on revision 2"),
        ({"step_key": "tape"}, "has no step 'tape'"),
        ({"text": " \n"}, "Write the comment"),
        ({"text": "x" * 1001}, "1001 characters are more than 1000"),
    ],
)
def test_a_comment_that_leads_nowhere_is_refused(
    people: People, more: dict[str, Any], problem: str
) -> None:
    repair = planned_repair(people)

    with pytest.raises(Refused, match=problem):
        comment(people, repair, **more)

    assert not PlanComment.objects.exists()


def test_the_plan_in_force_and_the_draft_are_both_commented(people: People) -> None:
    repair = repair_on_site(people)
    revise(people, repair, with_step(3, THINNER))

    comment(people, repair, revision=2)
    comment(people, repair, revision=3)

    assert [c.plan.revision for c in PlanComment.objects.all()] == [2, 3]
