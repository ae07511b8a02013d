"""What holds for every characteristic, whatever is read: a worse reading, a stricter limit, another
order, another unit, too few readings."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import InvalidValue, Kind
from qc.engine.rules import Outcome
from tests.engine.characteristics.changes import (
    LITTLE,
    SHARES,
    moved,
    other_units,
    quantities_in,
    written_anew,
)
from tests.engine.characteristics.sound import SOUND, Sound, Way

WORST_FIRST = list(Outcome)
UNJUDGED = Outcome.CANNOT_BE_JUDGED
IN_KELVIN_ONLY = "activation_temperature"
HIGHEST = 999
"""More readings than any case has, and as many as a plan may ask for."""

some = settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])
every = pytest.mark.parametrize("sound", SOUND, ids=lambda s: f"{s.key} {s.about}".strip())
Case = dict[str, Any]


def judged(case: Case) -> dict[str, Any] | None:
    """The verdict; None where the change went beyond what is plausible."""
    try:
        return judge_case(case)
    except InvalidValue:
        return None


def is_no_better(before: str, after: str) -> bool:
    """A data error, which is no verdict on the work, may follow anything."""
    return after == UNJUDGED or WORST_FIRST.index(Outcome(after)) <= WORST_FIRST.index(
        Outcome(before)
    )


def varied(sound: Sound, data: st.DataObject) -> Case:
    """The case with every value that has a bad side moved a little either way."""
    readings = []
    for reading in sound.readings:
        changed = dict(reading)
        for name, way in sound.worse.items():
            if name in reading and not isinstance(way, bool | tuple):
                better = data.draw(st.booleans())
                changed[name] = moved(reading[name], -way if better else way, data.draw(LITTLE))
        readings.append(changed)
    return sound.case | {"readings": readings}


def criteria_with_a_side(sound: Sound) -> dict[str, Way]:
    """Criteria that the case sets, by the way in which they ask for more."""
    by_name: dict[str, Way] = {
        name: 1 if name.endswith("min") else -1
        for name in sound.criteria
        if name.rpartition("_")[2] in ("min", "max") and name not in sound.stricter
    }
    return by_name | {name: w for name, w in sound.stricter.items() if name in sound.criteria}


def test_every_characteristic_has_a_sound_case() -> None:
    assert {sound.key for sound in SOUND} == set(CHARACTERISTICS)


@every
def test_the_sound_case_conforms(sound: Sound) -> None:
    verdict = judge_case(sound.case)

    assert verdict["outcome"] == "conforms", verdict["findings"]


@every
def test_every_value_with_a_bad_side_can_spoil_it(sound: Sound) -> None:
    """The properties below would hold of values that nothing looks at."""
    for name, way in sound.worse.items():
        outcomes = set()
        for i, reading in enumerate(sound.readings):
            if name not in reading:
                continue
            readings = [dict(r) for r in sound.readings]
            for share in ("0.1", "0.3", "0.5", "0.9"):
                readings[i][name] = moved(reading[name], way, Decimal(share))
                verdict = judged(sound.case | {"readings": readings})
                outcomes.add(verdict["outcome"] if verdict else None)
        assert outcomes - {"conforms", None}, name


@every
@given(data=st.data())
@some
def test_a_worse_reading_never_improves_the_verdict(sound: Sound, data: st.DataObject) -> None:
    case = varied(sound, data)
    at, name = data.draw(
        st.sampled_from(
            [(i, n) for i, r in enumerate(case["readings"]) for n in sound.worse if n in r]
        )
    )
    readings = [dict(reading) for reading in case["readings"]]
    readings[at][name] = moved(readings[at][name], sound.worse[name], data.draw(SHARES))

    before, after = judged(case), judged(case | {"readings": readings})

    if before and after:
        assert is_no_better(before["outcome"], after["outcome"]), (case["readings"], readings)


@every
@given(data=st.data())
@some
def test_a_stricter_limit_never_improves_the_verdict(sound: Sound, data: st.DataObject) -> None:
    sides = criteria_with_a_side(sound)
    if not sides:
        return
    case = varied(sound, data)
    name = data.draw(st.sampled_from(sorted(sides)))
    stricter = moved(case["criteria"][name], sides[name], data.draw(SHARES))

    before = judged(case)
    after = judged(case | {"criteria": case["criteria"] | {name: stricter}})

    if before and after:
        assert is_no_better(before["outcome"], after["outcome"]), (name, stricter)


UNCERTAIN = [
    sound
    for sound in SOUND
    if any(f.name == "expanded_uncertainty" for f in CHARACTERISTICS[sound.key].criteria)
]


@pytest.mark.parametrize("sound", UNCERTAIN, ids=lambda s: f"{s.key} {s.about}".strip())
@given(data=st.data())
@some
def test_a_guard_never_improves_and_guarded_rejection_never_worsens_the_verdict(
    sound: Sound, data: st.DataObject
) -> None:
    case = varied(sound, data)
    (declared,) = (
        f for f in CHARACTERISTICS[sound.key].criteria if f.name == "expanded_uncertainty"
    )
    stated = f"{data.draw(st.decimals(0, 10, places=1))} {declared.unit}".strip()

    guarded, simple, widened = (
        judged(
            case
            | {
                "criteria": case["criteria"]
                | {"decision": decision, "expanded_uncertainty": stated}
            }
        )
        for decision in ("guarded", "simple", "guarded_rejection")
    )

    if guarded and simple and widened:
        assert is_no_better(simple["outcome"], guarded["outcome"])
        assert is_no_better(widened["outcome"], simple["outcome"])


@every
@given(data=st.data())
@some
def test_the_order_of_readings_does_not_matter(sound: Sound, data: st.DataObject) -> None:
    if sound.in_order:
        return
    case = varied(sound, data)
    mixed = data.draw(st.permutations(case["readings"]))

    first, second = judged(case), judged(case | {"readings": mixed})

    assert (first and first["outcome"]) == (second and second["outcome"])


@every
@given(data=st.data())
@some
def test_the_unit_of_entry_changes_no_outcome(sound: Sound, data: st.DataObject) -> None:
    case = varied(sound, data)
    texts = {
        text: data.draw(st.sampled_from(other_units(text)))
        for text in set(quantities_in(case, IN_KELVIN_ONLY))
    }

    first, second = judged(case), judged(written_anew(case, texts, IN_KELVIN_ONLY))

    outcomes = [
        [(found["rule"], found["outcome"]) for found in verdict["findings"]] if verdict else None
        for verdict in (first, second)
    ]
    assert outcomes[0] == outcomes[1]


@every
@given(data=st.data())
@some
def test_fewer_readings_than_required_never_conform(sound: Sound, data: st.DataObject) -> None:
    for name in sound.counts:
        case = varied(sound, data)
        (declared,) = (f for f in CHARACTERISTICS[sound.key].criteria if f.name == name)
        most = int(declared.maximum or HIGHEST)
        verdict = judged(case | {"criteria": case["criteria"] | {name: min(most, HIGHEST)}})

        assert verdict is not None
        assert verdict["outcome"] in ("incomplete", "does_not_conform"), name


def test_every_number_of_readings_that_a_plan_may_ask_for_is_tried() -> None:
    for key, characteristic in CHARACTERISTICS.items():
        asked = {
            field.name
            for field in characteristic.criteria
            if field.kind is Kind.INTEGER and field.name in ("readings_min", "locations_min")
        }
        tried = {name for sound in SOUND if sound.key == key for name in sound.counts}
        assert asked <= tried, key
