"""The terms of the intervention points: the project's own codes, notice, and what may lapse.

What a code means differs between projects, so a plan states it. Without terms a hold stops the
work until it is released, and a witness or review point must be closed before the certificate.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from fractions import Fraction
from typing import Any

from qc.engine.fields import InvalidValue
from qc.engine.plan.parties import Intervention
from qc.engine.plan.working_hours import WorkingHours
from qc.engine.quantities import Dimension, InvalidQuantity, Quantity


class Hours(StrEnum):
    """How the hours of a notice are counted."""

    CALENDAR = "calendar"
    WORKING = "working"


@dataclass(frozen=True, kw_only=True)
class Terms:
    """What a plan says of one kind of intervention.

    `needs_notice`: a party must be told before the work comes to its point; later work waits for
    the moment of that notice. `notice` is the least time between giving it and that moment.
    `lapses`: once the moment has passed without the party, the point may be closed without it.
    `source` says where the notice period comes from.
    """

    intervention: Intervention
    code: str
    wording: str
    needs_notice: bool = False
    notice: Quantity | None = None
    hours: Hours = Hours.CALENDAR
    lapses: bool = False
    source: str = ""

    @property
    def period(self) -> timedelta:
        """The least time of notice."""
        if self.notice is None:
            return timedelta(0)
        seconds = Fraction(self.notice.magnitude_in("s"))
        return timedelta(microseconds=round(seconds * 1_000_000))

    def earliest(self, given_at: datetime, working: WorkingHours) -> datetime:
        """The earliest moment for which a notice given at `given_at` is early enough."""
        if self.hours is Hours.WORKING:
            return working.after(given_at, self.period)
        return given_at.astimezone(UTC) + self.period

    def as_case(self) -> dict[str, Any]:
        """The terms as JSON types, whole."""
        return {
            "code": self.code,
            "wording": self.wording,
            "needs_notice": self.needs_notice,
            "notice": str(self.notice) if self.notice else "",
            "hours": str(self.hours),
            "lapses": self.lapses,
            "source": self.source,
        }


DEFAULTS: Mapping[Intervention, tuple[str, str]] = {
    Intervention.HOLD: (
        "H",
        "Hold point: work does not go past the step until the party releases it",
    ),
    Intervention.WITNESS: (
        "W",
        "Witness point: the party is called to watch, and attends or waives",
    ),
    Intervention.REVIEW: (
        "R",
        "Review point: the party reads what was recorded before the release",
    ),
    Intervention.SURVEILLANCE: (
        "S",
        "Surveillance: the party may look at any time; nothing waits for it",
    ),
}
"""Code and wording of each intervention where a plan states none of its own."""

_LONGEST_CODE, _LONGEST_WORDING, _LONGEST_NOTICE = 4, 300, timedelta(days=60)
_WITH_NOTICE = frozenset({Intervention.HOLD, Intervention.WITNESS})
_TEXTS = ("code", "wording", "source", "hours", "notice")
_SWITCHES = ("needs_notice", "lapses")


def terms_of(stated: Mapping[str, Any]) -> Mapping[Intervention, Terms]:
    """The terms of every intervention, from a plan's JSON: by intervention, columns of `Terms`.

    `notice` is a time as text, "24 hour". What is not stated is as in `DEFAULTS`, without notice.
    InvalidValue names what makes no sense.
    """
    for name in stated:
        if name not in list(Intervention):
            raise InvalidValue(f"terms.{name}", f"is none of {', '.join(Intervention)}")
    found = {each: _terms(each, stated.get(each, {})) for each in Intervention}
    codes = [terms.code.casefold() for terms in found.values()]
    for each, terms in found.items():
        if codes.count(terms.code.casefold()) > 1:
            raise InvalidValue(f"terms.{each}.code", f"{terms.code!r} stands for two interventions")
    return found


def _terms(intervention: Intervention, stated: Any) -> Terms:
    path = f"terms.{intervention}"
    if not isinstance(stated, Mapping):
        raise InvalidValue(path, "is no mapping of code, wording and notice")
    _check_kinds(path, stated)
    code, wording = DEFAULTS[intervention]
    terms = Terms(
        intervention=intervention,
        code=_text(f"{path}.code", stated.get("code", code), _LONGEST_CODE),
        wording=_text(f"{path}.wording", stated.get("wording", wording), _LONGEST_WORDING),
        needs_notice=stated.get("needs_notice", False),
        notice=_notice(f"{path}.notice", stated.get("notice")),
        hours=_hours(f"{path}.hours", stated.get("hours", Hours.CALENDAR)),
        lapses=stated.get("lapses", False),
        source=stated.get("source", "").strip(),
    )
    _check_notice(path, terms)
    return terms


def _check_kinds(path: str, stated: Mapping[str, Any]) -> None:
    for name, value in stated.items():
        if name not in _TEXTS + _SWITCHES:
            allowed = ", ".join(_TEXTS + _SWITCHES)
            raise InvalidValue(f"{path}.{name}", f"is unknown; allowed are {allowed}")
        if name in _TEXTS and not isinstance(value, str):
            raise InvalidValue(f"{path}.{name}", f"{value!r} is no text")
        if name in _SWITCHES and not isinstance(value, bool):
            raise InvalidValue(f"{path}.{name}", f"{value!r} is neither true nor false")


def _text(path: str, text: str, longest: int) -> str:
    said = " ".join(text.split())
    if not 0 < len(said) <= longest:
        raise InvalidValue(path, f"{said!r} is not 1 to {longest} characters")
    return said


def _hours(path: str, text: str) -> Hours:
    if text not in list(Hours):
        raise InvalidValue(path, f"{text!r} is neither calendar nor working")
    return Hours(text)


def _notice(path: str, text: str | None) -> Quantity | None:
    if text is None:
        return None
    try:
        notice = Quantity.parse(text, Dimension.TIME)
        seconds = Fraction(notice.magnitude_in("s"))
    except InvalidQuantity as problem:
        raise InvalidValue(path, f"{problem}; a time is written as 24 hour") from None
    if not 0 < seconds <= _LONGEST_NOTICE.total_seconds():
        raise InvalidValue(path, f"{text!r} is not more than nothing and at most 60 day")
    return notice


def _check_notice(path: str, terms: Terms) -> None:
    """Notice is of points that somebody comes to; a period has a source; nothing lapses unasked."""
    if (terms.needs_notice or terms.lapses) and terms.intervention not in _WITH_NOTICE:
        raise InvalidValue(path, "only a hold or a witness point is given notice of, or lapses")
    if terms.notice is not None and not terms.needs_notice:
        raise InvalidValue(f"{path}.notice", "is stated, but needs_notice is not")
    if terms.needs_notice and terms.notice is None:
        raise InvalidValue(f"{path}.notice", "is missing: needs_notice asks for a time")
    if terms.lapses and not terms.needs_notice:
        raise InvalidValue(f"{path}.lapses", "a point lapses only after a notice: needs_notice")
    if terms.notice is not None and not terms.source:
        raise InvalidValue(f"{path}.source", "a notice period states its source")
