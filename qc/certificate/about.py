"""What a certificate's head says of component, defect and design, each in a line."""

from collections.abc import Iterable, Mapping
from typing import Any

from qc.certificate.site import day, quantity
from qc.records.particulars import DEFECT_TYPES
from qc.records.position import position_text, size_text


def about_view(repair: Mapping[str, Any]) -> dict[str, str]:
    """The lines of the head, by their name in the template; `repair` is the record's."""
    component = repair["component"]
    return {
        "component": _component(component),
        "service": _service(component),
        "defect": _defect(repair["defect"], repair["defect_details"]),
        "design": _design(repair["design"]),
    }


def _component(component: Mapping[str, str]) -> str:
    """What it is, its line, size and material; the tag stands before."""
    sizes = [quantity(component[name]) for name in ("diameter", "wall") if component[name]]
    line = f"line {component['line']}" if component["line"] else ""
    return _listed([component["description"], line, " × ".join(sizes), component["material"]])


def _service(component: Mapping[str, str]) -> str:
    said = (
        ("Service: ", [component["service"]]),
        ("in operation ", [component["temperature"], component["pressure"]]),
        ("designed for ", [component["design_temperature"], component["design_pressure"]]),
    )
    lines = ((name, _listed(map(quantity, filter(None, texts)))) for name, texts in said)
    return "; ".join(f"{name}{text}" for name, text in lines if text)


def _defect(words: str, details: Mapping[str, str]) -> str:
    kind = DEFECT_TYPES.get(details["type"], details["type"])
    measured = "; ".join(filter(None, (size_text(details), position_text(details))))
    named = ": ".join(filter(None, (kind, words)))
    return ". ".join(filter(None, (named.rstrip("."), measured)))


def _design(design: Mapping[str, str]) -> str:
    said = (
        ("repair class ", design["repair_class"]),
        ("design life ", design["design_life"]),
        ("next inspection by ", day(design["next_inspection"])),
    )
    line = "; ".join(f"{name}{text}" for name, text in said if text)
    return line[:1].upper() + line[1:]


def _listed(texts: Iterable[str]) -> str:
    return ", ".join(text for text in texts if text)
