"""The table of transitions, walked whole: every status, act and party."""

import itertools

import pytest

from qc.engine.lifecycle import (
    TRANSITIONS,
    Act,
    Facts,
    Refused,
    Status,
    acts_open_to,
    decide,
    reasons_against,
)
from qc.engine.plan import Party, StepFacts
from qc.engine.rules import Outcome

N, K, C = Party.INSPECTOR, Party.CONTRACTOR, Party.CLIENT
ALLOWED = {
    (Status.PLANNED, Act.REVISE_PLAN, K): Status.PLANNED,
    (Status.PLANNED, Act.ADD_EVIDENCE, N): Status.PLANNED,
    (Status.PLANNED, Act.ADD_EVIDENCE, K): Status.PLANNED,
    (Status.PLANNED, Act.AGREE_PLAN, C): Status.ON_SITE,
    (Status.ON_SITE, Act.RECORD_INSPECTION, N): Status.ON_SITE,
    (Status.ON_SITE, Act.CORRECT_INSPECTION, N): Status.ON_SITE,
    (Status.ON_SITE, Act.ADD_EVIDENCE, N): Status.ON_SITE,
    (Status.ON_SITE, Act.ADD_EVIDENCE, K): Status.ON_SITE,
    (Status.ON_SITE, Act.CLOSE_POINT, N): Status.ON_SITE,
    (Status.ON_SITE, Act.CLOSE_POINT, K): Status.ON_SITE,
    (Status.ON_SITE, Act.CLOSE_POINT, C): Status.ON_SITE,
    (Status.ON_SITE, Act.SIGN_INSPECTION, N): Status.INSPECTED,
    (Status.INSPECTED, Act.RETURN_REPAIR, K): Status.ON_SITE,
    (Status.INSPECTED, Act.SIGN_WORK, K): Status.WITH_CLIENT,
    (Status.WITH_CLIENT, Act.RETURN_REPAIR, C): Status.ON_SITE,
    (Status.WITH_CLIENT, Act.SIGN_APPROVAL, C): Status.APPROVED,
    (Status.APPROVED, Act.RETURN_REPAIR, C): Status.ON_SITE,
    (Status.APPROVED, Act.RELEASE_CERTIFICATE, C): Status.RELEASED,
}
"""Written by hand: what each party may do, and where it leads, when no guard objects."""

DONE = StepFacts(position=1, title="Profile", outcome=Outcome.CONFORMS)
CLEAR = Facts(steps=(DONE,), signatures={N: 1, K: 2, C: 3}, actor=9)


@pytest.mark.parametrize(("status", "act", "party"), list(itertools.product(Status, Act, Party)))
def test_a_party_may_do_exactly_what_the_table_allows(
    status: Status, act: Act, party: Party
) -> None:
    expected = ALLOWED.get((status, act, party))

    if expected is None:
        with pytest.raises(Refused):
            decide(status, act, party, CLEAR)
    else:
        assert decide(status, act, party, CLEAR).after is expected
    assert (act in acts_open_to(status, party)) is (expected is not None)


def test_no_two_rows_of_the_table_start_the_same_way() -> None:
    starts = [(t.before, t.act) for t in TRANSITIONS]

    assert len(starts) - len(set(starts)) == 0


def test_signing_is_refused_with_every_open_item_at_once() -> None:
    failed = StepFacts(position=1, title="Profile", outcome=Outcome.DOES_NOT_CONFORM)
    missing = StepFacts(
        position=2, title="Wrap", outcome=Outcome.CONFORMS, evidence_missing=("Photograph",)
    )

    reasons = reasons_against(
        Status.ON_SITE, Act.SIGN_INSPECTION, N, Facts(steps=(failed, missing))
    )

    assert [(r.rule, r.step) for r in reasons] == [("reading", 1), ("evidence", 2)]


def test_nobody_signs_for_two_parties() -> None:
    facts = Facts(steps=(DONE,), signatures={N: 7}, actor=7)

    (reason,) = reasons_against(Status.INSPECTED, Act.SIGN_WORK, K, facts)

    assert "nobody approves their own work" in reason.statement


@pytest.mark.parametrize("absent", list(Party))
def test_a_missing_signature_alone_blocks_the_certificate(absent: Party) -> None:
    signatures = {party: n for n, party in enumerate(Party) if party is not absent}

    (reason,) = reasons_against(
        Status.APPROVED, Act.RELEASE_CERTIFICATE, C, Facts(steps=(DONE,), signatures=signatures)
    )

    assert reason.statement == f"The signature of the {absent} is missing."
    assert reason.party is absent


def test_a_record_that_changed_since_it_was_signed_blocks_the_certificate() -> None:
    facts = Facts(steps=(DONE,), signatures=CLEAR.signatures, digest_holds=False)

    (reason,) = reasons_against(Status.APPROVED, Act.RELEASE_CERTIFICATE, C, facts)

    assert "changed since it was signed" in reason.statement


def test_a_plan_without_steps_releases_nothing() -> None:
    assert reasons_against(Status.ON_SITE, Act.SIGN_INSPECTION, N, Facts())
