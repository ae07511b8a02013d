"""Pressure test of the finished repair."""

from qc.engine.characteristics.pressure_test.characteristic import PRESSURE_TEST

__all__ = ["PRESSURE_TEST"]
