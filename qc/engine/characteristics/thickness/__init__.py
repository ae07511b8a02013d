"""Thickness of coatings, fillers and laminates."""

from qc.engine.characteristics.thickness.characteristic import THICKNESS

__all__ = ["THICKNESS"]
