"""Cleanliness: does the prepared surface reach the grade that the plan requires?"""

from qc.engine.characteristics.cleanliness.characteristic import CLEANLINESS

__all__ = ["CLEANLINESS"]
