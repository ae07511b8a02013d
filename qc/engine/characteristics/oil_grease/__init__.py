"""Oil and grease on the surface."""

from qc.engine.characteristics.oil_grease.characteristic import OIL_GREASE

__all__ = ["OIL_GREASE"]
