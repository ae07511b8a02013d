"""What each blocker says: its rule, its step, the page that clears it and who can clear it."""

from datetime import date

import pytest

from qc.engine.plan import (
    BatchUse,
    Blocker,
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
Told = tuple[str, int | None, str, Party]


def step(
    position: int = 3, outcome: Outcome | None = Outcome.CONFORMS, **more: object
) -> StepFacts:
    return StepFacts(position=position, title="Profile", outcome=outcome, **more)  # type: ignore[arg-type]


def point(intervention: Intervention, party: Party = Party.CLIENT, closed: bool = False) -> Point:
    return Point(party=party, intervention=intervention, closed=closed)


def told(blockers: tuple[Blocker, ...]) -> list[Told]:
    return [(b.rule, b.step, b.place, b.party) for b in blockers]


def test_a_plan_without_steps_is_the_contractors_to_complete() -> None:
    assert told(open_items(())) == [("plan", None, "plan", Party.CONTRACTOR)]


@pytest.mark.parametrize(
    ("outcome", "rule", "said"),
    [
        (None, "not_started", "nothing has been recorded"),
        (Outcome.DOES_NOT_CONFORM, "reading", "the latest verdict does not conform"),
        (Outcome.INCOMPLETE, "reading", "readings are incomplete"),
        (Outcome.CANNOT_BE_JUDGED, "reading", "the readings cannot be judged"),
    ],
)
def test_an_open_outcome_is_cleared_by_the_inspector_at_the_step(
    outcome: Outcome | None, rule: str, said: str
) -> None:
    found = open_items((step(outcome=outcome),))

    assert told(found) == [(rule, 3, "step", Party.INSPECTOR)]
    assert found[0].statement == f"Step 3, Profile: {said}."


@pytest.mark.parametrize("party", list(Party))
def test_an_open_point_is_cleared_by_its_own_party(party: Party) -> None:
    found = open_items((step(points=(point(Intervention.WITNESS, party),)),))

    assert told(found) == [("witness", 3, "point", party)]
    assert found[0].statement == f"Step 3, Profile: witness point of the {party} is open."


@pytest.mark.parametrize(
    "outcome", [None, Outcome.DOES_NOT_CONFORM, Outcome.INCOMPLETE, Outcome.CANNOT_BE_JUDGED]
)
def test_points_of_others_stand_open_beside_a_verdict_that_is_awaited(
    outcome: Outcome | None,
) -> None:
    points = (
        point(Intervention.HOLD, Party.INSPECTOR),
        point(Intervention.HOLD, Party.CLIENT),
        point(Intervention.REVIEW, Party.CONTRACTOR),
    )

    found = told(open_items((step(outcome=outcome, points=points),)))

    assert [(rule, party) for rule, _, _, party in found[1:]] == [
        ("hold", Party.CLIENT),
        ("review", Party.CONTRACTOR),
    ]


def test_an_open_point_behind_a_closed_one_is_found() -> None:
    points = (point(Intervention.HOLD, closed=True), point(Intervention.HOLD, Party.CONTRACTOR))

    assert told(open_items((step(points=points),))) == [("hold", 3, "point", Party.CONTRACTOR)]


def test_missing_evidence_names_its_step() -> None:
    found = open_items((step(evidence_missing=("Photograph", "Chart")),))

    assert told(found) == [("evidence", 3, "evidence", Party.CONTRACTOR)] * 2
    assert [b.statement for b in found] == [
        "Step 3, Profile: evidence missing: Photograph.",
        "Step 3, Profile: evidence missing: Chart.",
    ]


@pytest.mark.parametrize(
    ("until", "said"),
    [(date(2026, 5, 11), "due 2026-05-11"), (None, "no calibration on record")],
)
def test_an_instrument_out_of_calibration_says_until_when_it_was_covered(
    until: date | None, said: str
) -> None:
    use = InstrumentUse(identifier="P-02", used_on=DAY, in_calibration=False, covered_until=until)

    found = open_items((step(instruments=(use,)),))

    assert told(found) == [("calibration", 3, "instruments", Party.CONTRACTOR)]
    assert found[0].statement.endswith(f"out of calibration on 2026-05-12 ({said}).")


def test_an_instrument_in_calibration_blocks_nothing() -> None:
    use = InstrumentUse(identifier="P-02", used_on=DAY, in_calibration=True, covered_until=DAY)

    assert open_items((step(instruments=(use,)),)) == ()


def test_an_expired_batch_is_cleared_by_the_inspector_at_the_step() -> None:
    use = BatchUse(number="A-311", used_on=DAY, expiry=date(2026, 5, 11))

    found = open_items((step(batches=(use,)),))

    assert told(found) == [("shelf_life", 3, "step", Party.INSPECTOR)]
    assert "batch A-311 was used on 2026-05-12, after its expiry on 2026-05-11" in (
        found[0].statement
    )


def test_steps_are_listed_in_their_order() -> None:
    found = open_items((step(1, None), step(2), step(3, Outcome.INCOMPLETE)))

    assert [blocker.step for blocker in found] == [1, 3]


@pytest.mark.parametrize(
    ("points", "held"),
    [
        ((point(Intervention.HOLD),), True),
        ((point(Intervention.HOLD, closed=True),), False),
        ((point(Intervention.WITNESS),), False),
        ((), False),
    ],
)
def test_a_step_is_held_by_an_open_hold_and_nothing_else(
    points: tuple[Point, ...], held: bool
) -> None:
    assert step(points=points).is_held is held
    assert bool(holds_before((step(2, points=points),), 3)) is held
