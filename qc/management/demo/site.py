"""A repair as it is worked on: each line of the scenario is one act, at a time of a day."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

from PIL import Image

from qc.accounts.models import User
from qc.engine.nonconformance import ReportDeed
from qc.engine.plan import Party
from qc.management.demo.cast import PASSWORD, Cast
from qc.management.demo.kit import Kit
from qc.management.demo.photographs import photograph
from qc.records.models import Inspection, Notice, Repair
from qc.records.plan_steps import steps_of
from qc.records.queries import plan_in_force
from qc.records.templates import StepTemplate
from qc.workflow import (
    Dealing,
    Manner,
    Observation,
    RepairOutline,
    accept_notice,
    add_evidence,
    agree_plan,
    close_point,
    comment_plan,
    correct_inspection,
    give_notice,
    handle_nonconformance,
    record_inspection,
    revise_plan,
    sign,
    start_repair,
)
from qc.workflow.document import record_digest

Reading = dict[str, Any]

_ENTRY = timedelta(minutes=2)
"""From the observation to the entry, on a good day."""


@dataclass
class Site:
    """One repair and its first day on site. Clocks are texts as "07:40", in the site's time."""

    cast: Cast
    kit: Kit
    day: date
    outline: RepairOutline
    repair_id: int = 0
    positions: Mapping[str, int] = field(default_factory=dict)

    def moment(self, clock: str, days: int = 0) -> datetime:
        """A clock time of the first day, or of one `days` later."""
        zone = ZoneInfo(self.cast.project.time_zone)
        return datetime.combine(
            self.day + timedelta(days=days), time.fromisoformat(clock), tzinfo=zone
        )

    def text(self, clock: str, days: int = 0) -> str:
        """The same moment as a reading carries it."""
        return self.moment(clock, days).isoformat(timespec="minutes")

    def plan(self, clock: str, days: int) -> None:
        """The contractor starts the repair."""
        entry = start_repair(
            project_id=self.cast.project.pk,
            outline=self.outline,
            **self._by(self.cast.carl, self.moment(clock, days)),
        )
        self.repair_id = entry.repair_id
        self._read_positions()

    def revise(
        self, changes: Mapping[str, dict[str, Any]], reason: str, clock: str, days: int
    ) -> None:
        """The contractor changes columns of steps in the draft; `changes` is by step."""
        draft = steps_of(plan_in_force(self.repair))
        steps = [_changed(step, changes.get(step.key, {})) for step in draft]
        revise_plan(
            repair_id=self.repair_id,
            steps=steps,
            reason=reason,
            **self._by(self.cast.carl, self.moment(clock, days)),
        )
        self._read_positions()

    def comment(self, step: str, text: str, clock: str, days: int) -> None:
        """The client remarks on a step of the draft."""
        comment_plan(
            repair_id=self.repair_id,
            revision=plan_in_force(self.repair).revision,
            step_key=step,
            text=text,
            **self._by(self.cast.clara, self.moment(clock, days)),
        )

    def agree(self, clock: str, days: int) -> None:
        """The client agrees the plan."""
        agree_plan(repair_id=self.repair_id, **self._by(self.cast.clara, self.moment(clock, days)))

    def inspect(
        self,
        step: str,
        clock: str,
        readings: Sequence[Reading],
        *,
        using: Sequence[str] = (),
        batches: Sequence[str] = (),
        days: int = 0,
        entered: str = "",
        **more: Any,
    ) -> int:
        """The inspector records readings; the id of the inspection. `entered` is a later clock."""
        observed_at = self.moment(clock, days)
        at = self.moment(entered, days) if entered else observed_at + _ENTRY
        entry = record_inspection(
            repair_id=self.repair_id,
            position=self.positions[step],
            observation=self._observation(readings, observed_at, using, batches, **more),
            **self._by(self.cast.ines, at),
        )
        return int(entry.stated(Inspection)[0]["id"])

    def correct(
        self,
        step: str,
        inspection: int,
        clock: str,
        readings: Sequence[Reading],
        *,
        reason: str,
        entered: str,
        using: Sequence[str] = (),
        batches: Sequence[str] = (),
    ) -> int:
        """The inspector records what an earlier inspection should have said; the new one's id."""
        entry = correct_inspection(
            repair_id=self.repair_id,
            position=self.positions[step],
            inspection_id=inspection,
            reason=reason,
            observation=self._observation(readings, self.moment(clock), using, batches),
            **self._by(self.cast.ines, self.moment(entered)),
        )
        return int(entry.stated(Inspection)[0]["id"])

    def picture(
        self,
        step: str,
        requirement: str,
        clock: str,
        scene: Image.Image,
        caption: str,
        days: int = 0,
    ) -> None:
        """The contractor uploads a photograph taken then."""
        taken_at = self.moment(clock, days)
        number = self.outline.number
        add_evidence(
            repair_id=self.repair_id,
            position=self.positions[step],
            requirement=requirement,
            content=photograph(scene, f"{number} · {caption}", taken_at, self.repair_id),
            filename=f"{number}-{step}-{requirement}.jpg",
            caption=caption,
            **self._by(self.cast.carl, taken_at + 2 * _ENTRY),
        )

    def notify(self, step: str, due: str, due_days: int, clock: str, days: int, note: str) -> int:
        """The contractor gives the client notice of its point; the id of the notice."""
        entry = give_notice(
            repair_id=self.repair_id,
            position=self.positions[step],
            party=Party.CLIENT,
            scheduled_at=self.moment(due, due_days),
            note=note,
            **self._by(self.cast.carl, self.moment(clock, days)),
        )
        return int(entry.stated(Notice)[0]["id"])

    def accept(self, notice: int, clock: str, days: int, note: str = "") -> None:
        """The client says that it comes."""
        accept_notice(
            repair_id=self.repair_id,
            notice_id=notice,
            note=note,
            **self._by(self.cast.clara, self.moment(clock, days)),
        )

    def close(
        self, step: str, who: Party, clock: str, manner: Manner, note: str = "", days: int = 0
    ) -> None:
        """A party closes its point."""
        close_point(
            repair_id=self.repair_id,
            position=self.positions[step],
            manner=manner,
            note=note,
            **self._by(self.cast.people[who], self.moment(clock, days)),
        )

    def deal(
        self,
        number: int,
        deed: ReportDeed,
        who: Party,
        clock: str,
        text: str = "",
        days: int = 0,
        **said: Any,
    ) -> None:
        """A party does something about the nonconformance report of this number."""
        handle_nonconformance(
            repair_id=self.repair_id,
            number=number,
            dealing=Dealing(deed=deed, text=text, **said),
            **self._by(self.cast.people[who], self.moment(clock, days)),
        )

    def sign(self, who: Party, clock: str, days: int = 0) -> None:
        """A party signs what the record holds."""
        sign(
            repair_id=self.repair_id,
            party=who,
            password=PASSWORD,
            seen_digest=record_digest(self.repair),
            **self._by(self.cast.people[who], self.moment(clock, days)),
        )

    def checklist(self, step: str, measured: Mapping[str, str] | None = None) -> list[Reading]:
        """Every item of a visual step accepted, with what was measured by item."""
        found = plan_in_force(self.repair).steps.get(key=step)
        sizes = measured or {}
        return [
            {"item": line["item"], "accepted": True}
            | ({"measured": sizes[line["item"]]} if line["item"] in sizes else {})
            for line in found.criteria["items"]
        ]

    def mix(self, batches: Sequence[str], clocks: str, **more: Any) -> Reading:
        """A whole kit: `clocks` are the start and end of mixing, the first and the last use."""
        names = ("mix_start", "mix_end", "first_use", "last_use")
        times = {name: self.text(clock) for name, clock in zip(names, clocks.split(), strict=True)}
        expiry = min(self.kit.expiries[number] for number in batches)
        return {**times, "whole_kit": True, "expiry": expiry.isoformat(), **more}

    def labels(self, batches: Sequence[str]) -> tuple[tuple[str, str, str], ...]:
        """What stands on the tins of a kit: part, batch, month of expiry."""
        return tuple(
            (f"Part {part}", number, f"{self.kit.expiries[number]:%Y-%m}")
            for part, number in zip("AB", batches, strict=False)
        )

    @property
    def repair(self) -> Repair:
        """The repair as it stands now."""
        return Repair.objects.select_related("project", "asset").get(pk=self.repair_id)

    def _observation(
        self,
        readings: Sequence[Reading],
        observed_at: datetime,
        using: Sequence[str],
        batches: Sequence[str],
        **more: Any,
    ) -> Observation:
        return Observation(
            readings=readings,
            observed_at=observed_at,
            instruments=[self.kit.instruments[name] for name in using],
            batches=[self.kit.batches[name] for name in batches],
            **more,
        )

    def _by(self, actor: User, at: datetime) -> dict[str, Any]:
        act_id: UUID = uuid4()
        return {"actor": actor, "at": at, "act_id": act_id}

    def _read_positions(self) -> None:
        steps = plan_in_force(self.repair).steps.all()
        self.positions = {step.key: step.position for step in steps}


def _changed(step: StepTemplate, change: Mapping[str, Any]) -> StepTemplate:
    """The step with criteria and sources added or, where None, taken out; other columns anew."""
    merged = {
        name: {
            key: value for key, value in (getattr(step, name) | given).items() if value is not None
        }
        for name, given in change.items()
        if name in ("criteria", "sources")
    }
    return replace(step, **{**change, **merged})
