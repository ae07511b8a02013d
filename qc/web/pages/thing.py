"""Something that waits to be done on a repair."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, kw_only=True)
class NextThing:
    """What happens next. With `url` it is this person's to do; else somebody else has the turn.

    `due` is the moment for which it is called, where there is one.
    """

    say: str
    url: str = ""
    label: str = ""
    due: datetime | None = None
