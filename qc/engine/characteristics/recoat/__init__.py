"""Recoat window: the next coat neither too early nor too late."""

from qc.engine.characteristics.recoat.characteristic import RECOAT

__all__ = ["RECOAT"]
