"""What a refusal says: its rule, the page that clears it, and every reason at once."""

import pytest

from qc.engine.lifecycle import (
    Act,
    Facts,
    Refused,
    Status,
    decide,
    reasons_against,
    repair_blocker,
)
from qc.engine.plan import Intervention, Party, Point, StepFacts
from qc.engine.rules import Outcome

INSPECTOR, CONTRACTOR, CLIENT = Party.INSPECTOR, Party.CONTRACTOR, Party.CLIENT
DONE = StepFacts(position=1, title="Profile", outcome=Outcome.CONFORMS)
HOLD = Point(party=CLIENT, intervention=Intervention.HOLD, closed=False)
HELD = StepFacts(position=2, title="Wrap", outcome=Outcome.CONFORMS, points=(HOLD,))


def test_a_reason_of_the_repair_as_a_whole_has_no_step() -> None:
    found = repair_blocker("signature", "Said.")

    assert (found.rule, found.statement, found.step) == ("signature", "Said.", None)
    assert (found.place, found.party) == ("sign", INSPECTOR)


def test_an_act_at_the_wrong_time_says_where_the_repair_stands() -> None:
    (reason,) = reasons_against(Status.WITH_CLIENT, Act.SIGN_WORK, CONTRACTOR, Facts())

    assert reason.rule == "status"
    assert reason.statement == "The repair is with client: it cannot sign work now."


def test_the_wrong_party_is_told_who_can() -> None:
    (reason,) = reasons_against(Status.ON_SITE, Act.ADD_EVIDENCE, CLIENT, Facts())

    assert (reason.rule, reason.party) == ("party", CONTRACTOR)
    assert reason.statement == ("The client cannot add evidence; the contractor or inspector can.")


def test_the_wrong_party_is_refused_before_the_guards_are_asked() -> None:
    (reason,) = reasons_against(Status.ON_SITE, Act.SIGN_INSPECTION, CLIENT, Facts())

    assert reason.rule == "party"


@pytest.mark.parametrize(
    ("position", "rules"), [(None, []), (1, []), (2, []), (3, ["hold"]), (4, ["hold"])]
)
def test_nothing_is_recorded_past_an_open_hold(position: int | None, rules: list[str]) -> None:
    facts = Facts(steps=(DONE, HELD), position=position)

    reasons = reasons_against(Status.ON_SITE, Act.RECORD_INSPECTION, INSPECTOR, facts)

    assert [reason.rule for reason in reasons] == rules
    assert all(reason.step == 2 for reason in reasons)


def test_a_second_signature_of_the_same_person_is_a_matter_of_signatures() -> None:
    facts = Facts(steps=(DONE,), signatures={INSPECTOR: 7, CONTRACTOR: 8}, actor=8)

    (reason,) = reasons_against(Status.WITH_CLIENT, Act.SIGN_APPROVAL, CLIENT, facts)

    assert (reason.rule, reason.place) == ("signature", "sign")


def test_missing_signatures_are_named_alone_while_the_digest_does_not_hold_either() -> None:
    facts = Facts(steps=(DONE,), signatures={INSPECTOR: 1}, digest_holds=False)

    reasons = reasons_against(Status.APPROVED, Act.RELEASE_CERTIFICATE, CLIENT, facts)

    assert [(r.rule, r.party) for r in reasons] == [
        ("signature", CONTRACTOR),
        ("signature", CLIENT),
    ]


def test_a_changed_record_is_a_matter_of_signatures() -> None:
    signed = {party: number for number, party in enumerate(Party, 1)}
    facts = Facts(steps=(DONE,), signatures=signed, digest_holds=False)

    (reason,) = reasons_against(Status.APPROVED, Act.RELEASE_CERTIFICATE, CLIENT, facts)

    assert (reason.rule, reason.party) == ("signature", INSPECTOR)


def test_every_guard_speaks_at_once() -> None:
    open_step = StepFacts(position=1, title="Profile", outcome=None)
    facts = Facts(steps=(open_step,), signatures={INSPECTOR: 7}, actor=7)

    reasons = reasons_against(Status.INSPECTED, Act.SIGN_WORK, CONTRACTOR, facts)

    assert [reason.rule for reason in reasons] == ["not_started", "signature"]


def test_a_refusal_reads_as_its_reasons() -> None:
    facts = Facts(steps=(DONE,), signatures={INSPECTOR: 1})

    with pytest.raises(Refused) as refused:
        decide(Status.APPROVED, Act.RELEASE_CERTIFICATE, CLIENT, facts)

    assert str(refused.value) == (
        "The signature of the contractor is missing. The signature of the client is missing."
    )


def test_nothing_stands_against_an_act_that_would_succeed() -> None:
    assert reasons_against(Status.PLANNED, Act.AGREE_PLAN, CLIENT, Facts()) == ()
