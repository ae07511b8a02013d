"""Builds entry forms for a test: a step of one characteristic, its form, and the form sent."""

from typing import Any
from zoneinfo import ZoneInfo

from django.http import QueryDict

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import CHARACTERISTICS
from qc.records.models import Repair
from qc.records.progress import progress_of
from qc.records.templates import StepTemplate
from qc.web.forms.observation import ObservationForm
from qc.web.forms.work import Work
from tests.factories import NOON, repair_on_site
from tests.people import People
from tests.web.visitor import sent

CRITERIA: dict[str, dict[str, Any]] = {
    "thickness": {"rule": "minimum", "min": "5 mm"},
    "visual": {"items": [{"item": "Cracks", "asked": "none"}, {"item": "Width", "min": "40 mm"}]},
}
"""Criteria of some characteristics; of the others those without which none can be planned."""


def step_of(key: str, **more: Any) -> StepTemplate:
    """A step that checks one characteristic, alone in its plan."""
    criteria = more.pop("criteria", None) or CRITERIA.get(key) or _required(CHARACTERISTICS[key])
    return StepTemplate(
        key=key,
        title=key.capitalize(),
        activity=f"Check {key}",
        characteristic=key,
        sampling="once",
        criteria=criteria,
        sources=dict.fromkeys(criteria, "common practice"),
        **more,
    )


def _required(characteristic: Characteristic) -> dict[str, str]:
    return {
        field.name: field.choices[0] if field.choices else f"1 {field.unit}".strip()
        for field in characteristic.criteria
        if field.required
    }


def form_for(people: People, step: StepTemplate, **more: Any) -> ObservationForm:
    return ObservationForm.for_entry(work_for(repair_on_site(people, [step]), 1, **more))


def work_for(repair: Repair, position: int, **more: Any) -> Work:
    progress = next(p for p in progress_of(repair) if p.step.position == position)
    zone = ZoneInfo(repair.project.time_zone)
    return Work(progress=progress, **{"units": repair.units, "zone": zone, "now": NOON, **more})


def posted(form: ObservationForm, **typed: Any) -> ObservationForm:
    """The form as it arrives with what was typed."""
    data = QueryDict(mutable=True)
    for name, value in sent(form, **typed).items():
        data.setlist(name, value if isinstance(value, list) else [value])
    return ObservationForm.for_entry(form.work, data)


def errors(form: ObservationForm) -> dict[str, list[str]]:
    return {name: [str(text) for text in found] for name, found in form.errors.items()}
