"""What is handed to the press, and what it may answer."""

import json
from dataclasses import asdict, dataclass


class Unprintable(Exception):
    """The document cannot be made; the message says why."""


@dataclass(frozen=True)
class Enclosure:
    """A file that travels inside the PDF."""

    name: str
    description: str
    content: str


@dataclass(frozen=True)
class Job:
    """What is printed: the page, its moment (ISO 8601, UTC), and the files that travel inside."""

    html: str
    issued_at: str
    enclosures: tuple[Enclosure, ...] = ()

    def dumped(self) -> bytes:
        """The job as JSON."""
        return json.dumps(asdict(self)).encode()

    @classmethod
    def loaded(cls, dumped: bytes) -> "Job":
        """The job that `dumped` holds."""
        raw = json.loads(dumped)
        enclosures = tuple(Enclosure(**enclosure) for enclosure in raw["enclosures"])
        return cls(html=raw["html"], issued_at=raw["issued_at"], enclosures=enclosures)
