"""Pull-off adhesion of coating, filler or laminate, with the nature of fracture."""

from qc.engine.characteristics.adhesion.characteristic import ADHESION

__all__ = ["ADHESION"]
