"""Continuity of a coating or lining: the holiday test."""

from qc.engine.characteristics.continuity.characteristic import CONTINUITY

__all__ = ["CONTINUITY"]
