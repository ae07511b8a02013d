"""Residual moisture on the prepared surface."""

from qc.engine.characteristics.moisture.characteristic import MOISTURE

__all__ = ["MOISTURE"]
