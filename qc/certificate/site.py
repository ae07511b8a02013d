"""The site of a repair: its units and its clock, by which a certificate is written."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from qc.engine.quantities import Quantity, symbol_of
from qc.engine.quantities.units import UNITS
from qc.engine.wording import day_text, moment_text

_MOMENT = re.compile(
    r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:\d\d)(?!\d)", re.ASCII
)
_DAY = re.compile(r"(?<![\d-])\d{4}-\d\d-\d\d(?![\d-])", re.ASCII)
_QUANTITY = re.compile(
    rf"(?<![\w.])(-?\d+(?:\.\d+)?) ({'|'.join(map(re.escape, sorted(UNITS, reverse=True)))})(?!\w)",
    re.ASCII,
)
_SIGNS = "|".join(sorted({re.escape(u.symbol) for u in UNITS.values()}, key=len, reverse=True))
_FIGURE_AND_SIGN = re.compile(rf"(?<=\d) (?=(?:{_SIGNS})(?![\w/]))")
_MINUS = re.compile(r"(?<![\w.,:)-])-(?=\d)", re.ASCII)


@dataclass(frozen=True)
class Site:
    """Where a repair is: "metric" or "us" units, and the time zone of its clock."""

    units: str
    zone: ZoneInfo

    @classmethod
    def of(cls, record: Mapping[str, Any]) -> "Site":
        """The site that a record names."""
        zone = ZoneInfo(record["project"]["time_zone"])
        return cls(units=record["repair"]["units"], zone=zone)

    def moment(self, text: str) -> str:
        """A moment of the record by the site's clock: "12 May 2026 09:31"."""
        return moment_text(datetime.fromisoformat(text), self.zone)

    def clock(self, text: str) -> str:
        """How the site's clock stands to UTC at a moment: "UTC+01:00"."""
        offset = datetime.fromisoformat(text).astimezone(self.zone).strftime("%z")
        return f"UTC{offset[:3]}:{offset[3:5]}"

    def span(self, texts: Iterable[str]) -> str:
        """From the first to the last of some moments, naming a day once."""
        moments = sorted(datetime.fromisoformat(text).astimezone(self.zone) for text in texts)
        first, last = moments[0], moments[-1]
        if first == last:
            return moment_text(first, self.zone)
        if first.date() == last.date():
            return f"{moment_text(first, self.zone)} to {last:%H:%M}"
        return f"{moment_text(first, self.zone)} to {moment_text(last, self.zone)}"

    def said(self, statement: str) -> str:
        """A sentence of the engine with moments by the site's clock and units by their signs.

        A figure and its sign stay on one line.
        """
        text = _MOMENT.sub(lambda found: self.moment(found[0]), statement)
        text = _DAY.sub(lambda found: day(found[0]), text)
        text = _QUANTITY.sub(lambda found: f"{found[1]} {symbol_of(found[2])}", text)
        return minus(_FIGURE_AND_SIGN.sub("\N{NO-BREAK SPACE}", text))


def utc(text: str) -> str:
    """A moment of the record in UTC: "12 May 2026 08:31 UTC"."""
    return f"{moment_text(datetime.fromisoformat(text), ZoneInfo('UTC'))} UTC"


def utc_iso(text: str) -> str:
    """A moment in UTC to the second, as ISO 8601 writes it."""
    return datetime.fromisoformat(text).astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def day(text: str) -> str:
    """A calendar day of the record: "31 Jan 2027"; other text unchanged."""
    try:
        return day_text(date.fromisoformat(text))
    except ValueError:
        return text


def quantity(text: str) -> str:
    """A size as it was entered, with the printed sign of its unit."""
    try:
        found = Quantity.parse(text)
    except ValueError:
        return text
    return f"{found.magnitude:f}\N{NO-BREAK SPACE}{symbol_of(found.unit)}"


def minus(text: str) -> str:
    """`text` with the minus sign before negative figures."""
    return _MINUS.sub("\N{MINUS SIGN}", text)


def grouped(digest: str) -> str:
    """A digest in groups of four, for the eye."""
    return " ".join(digest[start : start + 4] for start in range(0, len(digest), 4))
