"""Acceptance of the finished laminate."""

from qc.engine.characteristics.laminate.characteristic import LAMINATE

__all__ = ["LAMINATE"]
