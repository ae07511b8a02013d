"""Visual and dimensional inspection by a checklist."""

from qc.engine.characteristics.visual.characteristic import VISUAL

__all__ = ["VISUAL"]
