"""A step of the plan as the certificate prints it: asked, read, found, by whom and with what."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from qc.certificate.entries import entries_of
from qc.certificate.series import Reader, Series
from qc.certificate.site import Site, day
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.plan import Intervention, Party
from qc.engine.rules import Outcome
from qc.engine.wording import Asked, asked_of


@dataclass(frozen=True)
class Closing:
    """What became of a party's intervention point, or a notice of it.

    `stands` is False where a later notice took its place, or other readings took it away.
    """

    intervention: str
    statement: str
    note: str
    stands: bool
    code: str = ""


@dataclass(frozen=True)
class StepView:
    """One step, ready to be laid out. `points` has one entry a party, perhaps empty."""

    position: int
    key: str
    title: str
    activity: str
    reference: str
    sampling: str
    characteristic: str
    characteristic_key: str
    outcome: str
    conceded_until: str
    asked: tuple[Asked, ...]
    series: tuple[Series, ...]
    points: tuple[tuple[Closing, ...], ...]

    @property
    def final(self) -> Series | None:
        """The series whose verdict stands, None where nothing was recorded."""
        return self.series[-1] if self.series else None

    @property
    def templates(self) -> tuple[str, str]:
        """The section of the characteristic's own, where it has one, else that of all."""
        folder = "certificate/sections"
        return f"{folder}/{self.characteristic_key}.html", f"{folder}/generic.html"

    @property
    def came_to(self) -> str:
        """What is printed as its outcome: one that failed and is accepted is never plain."""
        return "conceded" if self.conceded_until else self.outcome

    @property
    def was_reworked(self) -> bool:
        """True where it conforms only after a rework."""
        return any(one.rework for one in self.series)

    @property
    def has_several_series(self) -> bool:
        """True where it was inspected anew: after a rework, or because the plan was revised."""
        return len(self.series) > 1


def step_view(
    step: Mapping[str, Any], site: Site, codes: Mapping[str, str] = MappingProxyType({})
) -> StepView:
    """The view of one step of a record; `codes` are the plan's, by intervention."""
    characteristic = CHARACTERISTICS[step["characteristic"]]
    reader = Reader(step, characteristic, site, entries_of(step, site))
    return StepView(
        position=step["position"],
        key=step["key"],
        title=step["title"],
        activity=step["activity"],
        reference=step["reference"],
        sampling=step["sampling"],
        characteristic=characteristic.title,
        characteristic_key=characteristic.key,
        outcome=step["outcome"],
        conceded_until=day(until) if (until := step.get("conceded_until", "")) else "",
        asked=asked_of(characteristic, step["criteria"], step["sources"], site.zone),
        series=reader.series(),
        points=tuple(
            tuple(
                replace(closing, code=codes.get(closing.intervention, ""))
                for closing in _closings(step, party, site)
            )
            for party in Party
        ),
    )


def _closings(step: Mapping[str, Any], party: Party, site: Site) -> Iterator[Closing]:
    code = step["points"].get(party)
    yield from (_notice(one, site) for one in step["notices"] if one["party"] == party)
    closures = [one for one in step["closures"] if one["party"] == party]
    for one in closures:
        said = f"{one['manner']} by {one['by']}, {site.moment(one['at'])}"
        yield Closing(one["intervention"], said, one["note"], one["stands"])
    if code and not any(one["stands"] for one in closures):
        said = _without_closure(step, party, Intervention(code), site)
        yield Closing(code, said, "", True)


def _notice(notice: Mapping[str, Any], site: Site) -> Closing:
    """What a party was told, and whether it said that it comes."""
    said = (
        f"for {site.moment(notice['scheduled_at'])}, given by {notice['by']},"
        f" {site.moment(notice['at'])}"
    )
    if notice["accepted_by"]:
        said += f"; accepted by {notice['accepted_by']}, {site.moment(notice['accepted_at'])}"
    notes = [text for text in (notice["note"], notice["accepted_note"]) if text]
    return Closing("notice", said, ". ".join(notes), notice["stands"])


def _without_closure(
    step: Mapping[str, Any], party: Party, intervention: Intervention, site: Site
) -> str:
    """What stands at a point that nobody closed; the inspector's own is closed by the verdict."""
    if party is Party.INSPECTOR and step["outcome"] == Outcome.CONFORMS:
        last = step["inspections"][-1]
        return f"by the verdict of {last['recorded_by']}, {site.moment(last['recorded_at'])}"
    if intervention is Intervention.SURVEILLANCE:
        return ""
    return "is open"
