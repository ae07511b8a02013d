"""Properties are asserted, not timed: a busy machine fails no test."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None, max_examples=40)
settings.load_profile("untimed")
