"""Hardness of the cured filler, laminate or coating, as evidence of cure."""

from qc.engine.characteristics.hardness.characteristic import HARDNESS

__all__ = ["HARDNESS"]
