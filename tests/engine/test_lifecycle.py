"""The table of transitions, walked whole: every status, act and party."""

import itertools

import pytest

from qc.engine.lifecycle import (
    REGISTER_ACTS,
    TRANSITIONS,
    Act,
    Facts,
    Refused,
    RegisterAct,
    Status,
    Transition,
    acts_open_to,
    decide,
    reasons_against,
)
from qc.engine.plan import OpenReport, Party, StepFacts
from qc.engine.rules import Outcome

N, K, C = Party.INSPECTOR, Party.CONTRACTOR, Party.CLIENT
TABLE = """
planned     revise_plan            K    planned
planned     comment_plan           NKC  planned
planned     add_evidence           NK   planned
planned     agree_plan             C    on_site
on_site     revise_plan            K    on_site
on_site     comment_plan           NKC  on_site
on_site     agree_plan             C    on_site
on_site     record_inspection      N    on_site
on_site     correct_inspection     N    on_site
on_site     add_evidence           NK   on_site
on_site     give_notice            NK   on_site
on_site     accept_notice          NKC  on_site
on_site     close_point            NKC  on_site
on_site     report_nonconformance  NKC  on_site
on_site     handle_nonconformance  NKC  on_site
on_site     doubt_readings         NK   on_site
on_site     sign_inspection        N    inspected
inspected   return_repair          K    on_site
inspected   correct_inspection     N    on_site
inspected   report_nonconformance  NKC  on_site
inspected   doubt_readings         NK   on_site
inspected   sign_work              K    with_client
with_client return_repair          C    on_site
with_client correct_inspection     N    on_site
with_client report_nonconformance  NKC  on_site
with_client doubt_readings         NK   on_site
with_client sign_approval          C    approved
approved    return_repair          C    on_site
approved    correct_inspection     N    on_site
approved    report_nonconformance  NKC  on_site
approved    doubt_readings         NK   on_site
approved    release_certificate    C    released
released    report_nonconformance  NKC  released
released    handle_nonconformance  NKC  released
released    doubt_readings         NK   released
planned     set_next_inspection    C    planned
on_site     set_next_inspection    C    on_site
released    set_next_inspection    C    released
"""
"""Written by hand: status, act, whose (N inspector, K contractor, C client), and where it leads."""
PARTIES = {"N": N, "K": K, "C": C}
ALLOWED = {
    (Status(before), Act(act), PARTIES[letter]): Status(after)
    for before, act, letters, after in (line.split() for line in TABLE.strip().splitlines())
    for letter in letters
}

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


@pytest.mark.parametrize("transition", TRANSITIONS)
def test_what_goes_back_to_site_while_it_is_signed_voids_the_signatures(
    transition: Transition,
) -> None:
    being_signed = transition.before in {Status.INSPECTED, Status.WITH_CLIENT, Status.APPROVED}

    goes_back = transition.after is Status.ON_SITE
    assert transition.voids_signatures is (being_signed and goes_back)


def test_every_register_act_has_its_keepers() -> None:
    assert set(REGISTER_ACTS) == set(RegisterAct)
    assert not any(Party.CLIENT in keepers for keepers in REGISTER_ACTS.values())


def test_an_open_report_blocks_signing() -> None:
    report = OpenReport(number=3, state="disposition_proposed", step=1, party=C)

    (reason,) = reasons_against(
        Status.ON_SITE, Act.SIGN_INSPECTION, N, Facts(steps=(DONE,), reports=(report,))
    )

    assert reason.statement == "Nonconformance report 3 is not closed: disposition proposed."
    assert (reason.party, reason.place) == (C, "report/3")
