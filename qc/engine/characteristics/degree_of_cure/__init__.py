"""Degree of cure by differential scanning calorimetry."""

from qc.engine.characteristics.degree_of_cure.characteristic import DEGREE_OF_CURE

__all__ = ["DEGREE_OF_CURE"]
