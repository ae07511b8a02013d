"""One mix: its reading, its name in statements, and its times in order."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from qc.engine.fields import Values
from qc.engine.rules import Finding, Outcome, cannot_be_judged


@dataclass(frozen=True)
class Mix:
    """A reading and what it is called ("mix 1"); times of use count from all its uses."""

    reading: Values
    name: str

    @property
    def mix_start(self) -> datetime | None:
        """When the parts first touched."""
        return self.reading.moment("mix_start")

    @property
    def mix_end(self) -> datetime | None:
        """When mixing was done."""
        return self.reading.moment("mix_end")

    @property
    def first_use(self) -> datetime | None:
        """The earliest time of use told, for whichever repair."""
        return self._use("first_use", min)

    @property
    def last_use(self) -> datetime | None:
        """The latest time of use told, for whichever repair."""
        return self._use("last_use", max)

    def _use(self, name: str, choose: Callable[[list[datetime]], datetime]) -> datetime | None:
        told = [values.moment(name) for values in (self.reading, *self.reading.groups("uses"))]
        known = [moment for moment in told if moment is not None]
        return choose(known) if known else None


def missing(rule: str, mix: Mix, what: str, source: str = "") -> Finding:
    """A time that has not been taken yet."""
    return Finding(
        rule=rule,
        outcome=Outcome.INCOMPLETE,
        statement=f"{mix.name.capitalize()}: {what} has not been recorded.",
        source=source,
    )


def judge_times(mix: Mix) -> list[Finding]:
    """The times of a mix must be possible: start < end <= first use <= last use."""
    problem = _disorder(mix) or _disorder_of_uses(mix)
    if problem is None:
        return []
    return [cannot_be_judged("mixing.times", f"{mix.name.capitalize()}: {problem}.")]


def _disorder(mix: Mix) -> str | None:
    steps = [
        ("start of mixing", mix.mix_start),
        ("end of mixing", mix.mix_end),
        ("first use", mix.first_use),
        ("last use", mix.last_use),
    ]
    known = [(name, moment) for name, moment in steps if moment is not None]
    for (earlier, before), (later, after) in pairwise(known):
        if after < before:
            return f"the {later} lies before the {earlier}"
        if after == before and earlier == "start of mixing":
            return f"the {later} is the same moment as the start of mixing"
    return None


def _disorder_of_uses(mix: Mix) -> str | None:
    for use in mix.reading.groups("uses"):
        begun, ended = use.moment("first_use"), use.moment("last_use")
        if begun is not None and ended is not None and ended < begun:
            return f"the last use on {use.text('where')} lies before the first"
    return None
