"""Cure from the logged temperature."""

from qc.engine.characteristics.cure.characteristic import CURE

__all__ = ["CURE"]
