"""Dust left on the prepared surface."""

from qc.engine.characteristics.dust.characteristic import DUST

__all__ = ["DUST"]
