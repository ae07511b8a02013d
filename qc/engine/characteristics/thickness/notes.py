"""What the record should say beside a verdict on thickness, without changing it."""

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.measured import Taken
from qc.engine.characteristics.thickness.sampling import iso19840_repeats
from qc.engine.rules import counted

_ONLY_FOR = {"level": ("pa2",), "share_bound": ("iso19840",), "volume_solids": ("wet_film",)}
_SETTINGS_SAID = {"volume_solids": "volume solids", "share_bound": "share bound", "level": "level"}


def notes(criteria: Criteria, taken: Taken) -> list[str]:
    """Flags on corrections, repeated readings, settings the rule does not use, and wet film."""
    rule = criteria.text("rule")
    flags = [
        f"thickness.{name}: the {_SETTINGS_SAID[name]} of the plan is not used by this rule"
        for name, rules in _ONLY_FOR.items()
        if name in criteria and rule not in rules
    ]
    if rule == "wet_film":
        flags.append(
            "thickness.wet_film: a check of the work in progress, not of the dry thickness"
        )
    return [*flags, *_correction_notes(criteria, taken), *_repeat_notes(criteria, taken)]


def _correction_notes(criteria: Criteria, taken: Taken) -> list[str]:
    flags = []
    has_base = "base_metal_reading" in taken.given
    if criteria.text("rule") == "iso19840" and "surface_profile" not in criteria and not has_base:
        flags.append(
            "thickness.correction: the plan states no surface_profile, so nothing is taken off for "
            "it; ISO 19840 takes off 25 um where the profile is not known (to be confirmed against "
            "the licensed text)"
        )
    if has_base and "surface_profile" in criteria:
        flags.append(
            "thickness.correction: a base metal reading replaces the correction for the profile"
        )
    return flags


def _repeat_notes(criteria: Criteria, taken: Taken) -> list[str]:
    """ISO 19840 allows only some readings to be repeated in place of one that looked wrong."""
    if criteria.text("rule") != "iso19840" or "repeated" not in taken.given:
        return []
    repeated = sum(reading.integer("repeated") for reading in taken.readings)
    count = sum(len(reading.quantities("values")) for reading in taken.readings)
    allowed = iso19840_repeats(count)
    if repeated <= allowed:
        return []
    return [
        f"thickness.iso19840.repeats: {counted(repeated, 'reading')} repeated, {allowed} "
        f"allowed for {count} (to be confirmed against the licensed text)"
    ]
