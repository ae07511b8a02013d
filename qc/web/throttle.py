"""Counting how often an address asks for something, in the cache that all workers share."""

import time

from django.core.cache import cache
from django.http import HttpRequest

WINDOW = 60
"""Seconds that are counted together."""


def is_too_often(request: HttpRequest, what: str, most: int) -> bool:
    """Whether `what` was asked for more than `most` times from this address in this window."""
    window = int(time.time()) // WINDOW
    key = f"throttle:{what}:{request.META.get('REMOTE_ADDR', '')}:{window}"
    if cache.add(key, 1, timeout=2 * WINDOW):
        return most < 1
    try:
        return cache.incr(key) > most
    except ValueError:
        # It ran out between the two calls: a new window has begun.
        return False
