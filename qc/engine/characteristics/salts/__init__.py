"""Soluble salts on the prepared surface."""

from qc.engine.characteristics.salts.characteristic import SALTS

__all__ = ["SALTS"]
