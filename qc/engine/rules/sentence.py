"""Parts of the sentences that findings are written in: counted things, cut lists, full stops."""

from collections.abc import Iterable, Sequence

NAMED = 5
"""How many of several names a statement gives."""


def counted(number: int, noun: str) -> str:
    """`number` of a thing that `noun` names in the singular: "1 reading", "2 readings"."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def listed(names: Sequence[object]) -> str:
    """The first of `names`, with dots where there are more: "2, 4, 5, 8, 9, ..."."""
    named = ", ".join(str(name) for name in names[:NAMED])
    return f"{named}, ..." if len(names) > NAMED else named


def ended(text: str) -> str:
    """`text` with a full stop at its end, for which the dots of a cut list serve as well."""
    return f"{text.removesuffix('.')}."


def by_reason(stated: Iterable[tuple[int, str]]) -> dict[str, list[int]]:
    """The numbers that each reason holds for, each number once; the reason stated first leads."""
    found: dict[str, dict[int, None]] = {}
    for number, reason in stated:
        found.setdefault(reason, {})[number] = None
    return {reason: list(numbers) for reason, numbers in found.items()}
