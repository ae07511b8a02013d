"""What stands open: each kind of blocker alone, and two together."""

from datetime import UTC, date, datetime, timedelta

import pytest

from qc.engine.plan import (
    BatchUse,
    Blocker,
    Doubt,
    InstrumentUse,
    Intervention,
    Party,
    Point,
    StepFacts,
    holds_before,
    open_items,
)
from qc.engine.rules import Outcome

DAY = date(2026, 5, 12)


def step(**more: object) -> StepFacts:
    facts: dict[str, object] = {"position": 3, "title": "Profile", "outcome": Outcome.CONFORMS}
    return StepFacts(**(facts | more))  # type: ignore[arg-type]


def point(intervention: Intervention, closed: bool = False) -> Point:
    return Point(party=Party.CLIENT, intervention=intervention, closed=closed)


def rules(*blockers: Blocker) -> list[str]:
    return [blocker.rule for blocker in blockers]


def test_a_conforming_step_with_nothing_asked_leaves_nothing_open() -> None:
    assert open_items((step(),)) == ()


@pytest.mark.parametrize("outcome", [o for o in (*Outcome, None) if o is not Outcome.CONFORMS])
def test_any_outcome_but_conforms_stands_open(outcome: Outcome | None) -> None:
    (blocker,) = open_items((step(outcome=outcome),))

    assert (blocker.step, blocker.party) == (3, Party.INSPECTOR)
    assert blocker.statement.startswith("Step 3, Profile: ")


@pytest.mark.parametrize("code", [Intervention.HOLD, Intervention.WITNESS, Intervention.REVIEW])
def test_an_open_point_blocks_and_a_closed_one_does_not(code: Intervention) -> None:
    assert rules(*open_items((step(points=(point(code),)),))) == [str(code)]
    assert open_items((step(points=(point(code, closed=True),)),)) == ()


def test_the_inspectors_own_hold_is_not_listed_beside_the_verdict_it_waits_for() -> None:
    own = Point(party=Party.INSPECTOR, intervention=Intervention.HOLD, closed=False)
    waiting = step(position=2, outcome=None, points=(own,))

    assert rules(*open_items((waiting,))) == ["not_started"]
    assert rules(*holds_before((waiting,), 3)) == ["hold"]


def test_surveillance_gates_nothing() -> None:
    assert open_items((step(points=(point(Intervention.SURVEILLANCE),)),)) == ()


def test_missing_evidence_is_listed_by_what_is_missing() -> None:
    (blocker,) = open_items((step(evidence_missing=("Photograph of the gauge",)),))

    assert "Photograph of the gauge" in blocker.statement
    assert (blocker.place, blocker.party) == ("evidence", Party.CONTRACTOR)


def test_an_instrument_out_of_calibration_on_the_day_blocks() -> None:
    use = InstrumentUse(
        identifier="P-02", used_on=DAY, in_calibration=False, covered_until=date(2026, 5, 11)
    )

    (blocker,) = open_items((step(instruments=(use,)),))

    assert blocker.rule == "calibration"
    assert "P-02" in blocker.statement
    assert "2026-05-11" in blocker.statement


@pytest.mark.parametrize(
    ("expiry", "open_rules"),
    [(DAY, []), (date(2026, 5, 11), ["shelf_life"]), (None, [])],
)
def test_a_batch_may_be_used_through_the_day_it_expires(
    expiry: date | None, open_rules: list[str]
) -> None:
    use = BatchUse(number="A-311", used_on=DAY, expiry=expiry)

    assert rules(*open_items((step(batches=(use,)),))) == open_rules


def test_two_things_open_are_two_in_the_list() -> None:
    expired = BatchUse(number="A-311", used_on=DAY, expiry=date(2026, 5, 1))

    found = open_items((step(outcome=Outcome.INCOMPLETE, batches=(expired,)),))

    assert rules(*found) == ["reading", "shelf_life"]


def test_only_open_holds_of_earlier_steps_stop_the_work() -> None:
    held = step(position=2, points=(point(Intervention.HOLD), point(Intervention.REVIEW)))

    assert rules(*holds_before((held,), 3)) == ["hold"]
    assert holds_before((held,), 2) == ()
    assert held.is_held


def test_a_doubt_blocks_whatever_the_verdict() -> None:
    doubt = Doubt(
        rule="window",
        statement="coated 5 hours after blasting, 4 hours at most",
        place="step",
        party=Party.INSPECTOR,
    )

    (blocker,) = open_items((step(doubts=(doubt,)),))

    assert blocker.rule == "window"
    assert blocker.statement == "Step 3, Profile: coated 5 hours after blasting, 4 hours at most."


@pytest.mark.parametrize(
    ("day", "open_rules"),
    [(DAY, []), (DAY - timedelta(days=1), []), (DAY + timedelta(days=1), ["concession"])],
)
def test_a_concession_stands_through_its_last_day(day: date, open_rules: list[str]) -> None:
    conceded = step(outcome=Outcome.DOES_NOT_CONFORM, conceded_until=DAY)

    assert rules(*open_items((conceded,), day=day)) == open_rules


def test_a_concession_is_not_taken_for_granted_when_the_day_is_unknown() -> None:
    conceded = step(outcome=Outcome.DOES_NOT_CONFORM, conceded_until=DAY)

    assert rules(*open_items((conceded,))) == ["concession"]


@pytest.mark.parametrize(("minutes", "stopped"), [(-1, ["witness"]), (0, []), (1, [])])
def test_a_witness_point_stops_the_work_until_the_moment_of_its_notice(
    minutes: int, stopped: list[str]
) -> None:
    due = datetime(2026, 5, 12, 8, 0, tzinfo=UTC)
    witness = Point(
        party=Party.CLIENT,
        intervention=Intervention.WITNESS,
        closed=False,
        stops_work=True,
        work_goes_on_from=due,
    )

    found = holds_before((step(points=(witness,)),), 4, due + timedelta(minutes=minutes))

    assert rules(*found) == stopped
