"""Mixing of two-part products: ratio, times, pot life, shelf life."""

from qc.engine.characteristics.mixing.characteristic import MIXING

__all__ = ["MIXING"]
