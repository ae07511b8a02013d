"""Solvent rub as a test of cure."""

from qc.engine.characteristics.solvent_rub.characteristic import SOLVENT_RUB

__all__ = ["SOLVENT_RUB"]
