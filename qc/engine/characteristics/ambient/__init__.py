"""Ambient conditions: may the work go on in this air, on this steel?"""

from qc.engine.characteristics.ambient.characteristic import AMBIENT

__all__ = ["AMBIENT"]
