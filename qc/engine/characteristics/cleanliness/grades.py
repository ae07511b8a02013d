"""The partial order of preparation grades: which grade meets which."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.cleanliness")
_CHAINS: tuple[tuple[str, ...], ...] = tuple(tuple(c) for c in _TABLES["chains"].values())
_CHAIN_OF = {grade: chain for chain in _CHAINS for grade in chain}
_HAND_AND_POWER = (*_TABLES["chains"]["sspc_hand"], *_TABLES["chains"]["sspc_power"])
_JOINED = _CHAIN_OF | dict.fromkeys(_HAND_AND_POWER, _HAND_AND_POWER)

GRADES: tuple[str, ...] = tuple(_CHAIN_OF)
IMPERFECTION_GRADES: tuple[str, ...] = tuple(_TABLES["chains"]["imperfections"])
JETTING_GRADES: frozenset[str] = frozenset(
    _TABLES["chains"]["iso_jetting"] + _TABLES["chains"]["sspc_jetting"]
)
FLASH_RUST: tuple[str, ...] = tuple(_TABLES["flash_rust"]["order"])

Pairs = Sequence[tuple[str, str]]
"""Equivalences of a plan: (required grade, grade accepted in its place)."""


class Standing(StrEnum):
    """How an achieved grade stands to the required one."""

    MEETS = "meets"
    BELOW = "below"
    NOT_COMPARABLE = "not comparable"


def spellings() -> dict[str, str]:
    """Other ways to write a grade, as "SSPC-SP 10" and "NACE No. 2" for "SP 10"."""
    sspc = {f"SSPC {grade}": grade for grade in GRADES if grade.startswith("SP ")}
    jetting = {f"SSPC SP {g}": g for g in GRADES if g.startswith("WJ")}
    nace = dict(_TABLES["names"])
    numbered = {name.replace("NACE", "NACE No."): grade for name, grade in nace.items()}
    joint = {f"SSPC {grade}/{name}": grade for name, grade in nace.items()}
    return sspc | jetting | nace | numbered | joint


@dataclass(frozen=True)
class Order:
    """Which grades compare: the chains, what a plan lists as equivalent, and one setting.

    With `hand_below_power` hand tool cleaning, SP 2, is the least clean grade of the chain of
    SP 3; else the two do not compare.
    """

    pairs: Pairs = ()
    hand_below_power: bool = True

    @cached_property
    def _chain_of(self) -> dict[str, tuple[str, ...]]:
        return _JOINED if self.hand_below_power else _CHAIN_OF

    def upward(self, grade: str) -> tuple[str, ...]:
        """`grade` and all cleaner grades of its chain, the least clean first."""
        chain = self._chain_of[grade]
        return chain[chain.index(grade) :]

    def accepted(self, required: str) -> dict[str, str]:
        """Every grade that meets `required`, with the grade by which it does so.

        That is `required` itself within its own chain, and the listed grade where a pair of the
        plan leads from a grade that already meets to another chain.
        """
        by = dict.fromkeys(self.upward(required), required)
        added = True
        while added:
            fresh = {
                grade: other
                for listed, other in self.pairs
                if listed in by
                for grade in self.upward(other)
                if grade not in by
            }
            by |= fresh
            added = bool(fresh)
        return by

    def lowered(self, required: str) -> str:
        """A grade below `required` in its own chain that the pairs would let pass; "" if none.

        A plan that lists such pairs contradicts the order of the chain.
        """
        good = self.accepted(required)
        return next((g for g in good if g != required and required in self.upward(g)), "")

    def standing(self, achieved: str, required: str) -> Standing:
        """Meets, below, or of a chain that does not compare with the required one."""
        good = self.accepted(required)
        if achieved in good:
            return Standing.MEETS
        below = any(grade in good for grade in self.upward(achieved))
        return Standing.BELOW if below else Standing.NOT_COMPARABLE


def is_sspc(grade: str) -> bool:
    """True for the grades of SSPC/AMPP that solvent cleaning must precede."""
    return grade.startswith(("SP ", "WJ")) and grade != "SP 1"
