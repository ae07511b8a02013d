"""Surface profile: how rough the prepared steel is."""

from qc.engine.characteristics.profile.characteristic import PROFILE

__all__ = ["PROFILE"]
