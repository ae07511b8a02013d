"""The request for a take-off as JSON: one object in, one estimate out."""

from collections.abc import Mapping
from typing import Any

from qc.engine.fields import InvalidValue, parse_fields
from qc.engine.take_off.coating import COATING
from qc.engine.take_off.estimate import CAUTION, TakeOff
from qc.engine.take_off.filler import FILLER
from qc.engine.take_off.mixes import MIXES
from qc.engine.take_off.wrap import WRAP

TAKE_OFFS: Mapping[str, TakeOff] = {each.key: each for each in (FILLER, COATING, WRAP, MIXES)}

_KEYS = ("take_off", "given")


def take_off_case(raw: Any, path: str = "take_off") -> dict[str, Any]:
    """The estimate for a request, marked as one, as JSON types. InvalidValue names the field."""
    if not isinstance(raw, Mapping):
        raise InvalidValue(path, "is not an object with take_off and given")
    unknown = [name for name in raw if name not in _KEYS]
    if unknown:
        raise InvalidValue(f"{path}.{unknown[0]}", f"unknown; known: {', '.join(_KEYS)}")
    key = raw.get("take_off")
    found = TAKE_OFFS.get(key) if isinstance(key, str) else None
    if found is None:
        raise InvalidValue(f"{path}.take_off", f"must be one of: {', '.join(TAKE_OFFS)}")
    given = parse_fields(found.given, raw.get("given"), "given")
    return {
        "take_off": found.key,
        "estimate": True,
        "results": dict(found.reckon(given, "given")),
        "basis": found.basis,
        "caution": CAUTION,
    }
