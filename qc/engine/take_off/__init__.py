"""Take-off: how much material to bring and how many mixes to plan for. Estimates, all of them."""

from qc.engine.take_off.estimate import CAUTION, TakeOff
from qc.engine.take_off.request import TAKE_OFFS, take_off_case

__all__ = ["CAUTION", "TAKE_OFFS", "TakeOff", "take_off_case"]
