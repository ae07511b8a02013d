"""The case format: one JSON object with criteria and readings in, one verdict out."""

from collections.abc import Mapping
from typing import Any

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import InvalidValue

_CASE_KEYS = ("characteristic", "criteria", "sources", "readings")


def judge_case(case: Any, path: str = "case") -> dict[str, Any]:
    """The verdict on one case, as JSON types. InvalidValue names the field that is wrong."""
    if not isinstance(case, Mapping):
        raise InvalidValue(path, "is not an object with characteristic, criteria and readings")
    unknown = [name for name in case if name not in _CASE_KEYS]
    if unknown:
        raise InvalidValue(f"{path}.{unknown[0]}", f"unknown; known: {', '.join(_CASE_KEYS)}")
    characteristic = characteristic_named(case.get("characteristic"), path)
    criteria = characteristic.parse_criteria(case.get("criteria", {}), _sources(case, path))
    readings = case.get("readings")
    if not isinstance(readings, list):
        raise InvalidValue("readings", "is not a list of readings")
    parsed = [characteristic.parse_reading(r, f"readings[{i}]") for i, r in enumerate(readings)]
    return characteristic.judge(criteria, parsed).as_case()


def characteristic_named(key: Any, path: str = "case") -> Characteristic:
    """The characteristic with this key. InvalidValue lists the known ones."""
    found = CHARACTERISTICS.get(key) if isinstance(key, str) else None
    if found is None:
        known = ", ".join(CHARACTERISTICS)
        seen = f"{key[:40]!r} is not" if isinstance(key, str) else "must be"
        raise InvalidValue(f"{path}.characteristic", f"{seen} one of: {known}")
    return found


def _sources(case: Mapping[str, Any], path: str) -> Mapping[str, str]:
    sources = case.get("sources", {})
    if not isinstance(sources, Mapping) or not all(isinstance(s, str) for s in sources.values()):
        raise InvalidValue(f"{path}.sources", "is not an object of texts by criterion")
    return sources
