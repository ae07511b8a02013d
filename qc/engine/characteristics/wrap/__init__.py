"""Application of a composite wrap on site."""

from qc.engine.characteristics.wrap.characteristic import WRAP

__all__ = ["WRAP"]
