"""Properties are asserted, not timed: a busy machine fails no test."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
