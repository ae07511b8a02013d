"""Whole numbers that follow from a seed alone, so that anybody can draw the same places again.

Python promises to keep only `random.random()` from version to version, not how it makes a whole
number of it, and other languages have other generators. A record has to be checked years later and
elsewhere, so this one is written out: draw `i` of a seed, from 0, is the SHA-256 of the UTF-8 text
"seed/i", read as one big-endian number. It is taken modulo the bound; a digest in the last,
incomplete multiple of the bound is skipped, so that no number is likelier than another.
"""

from hashlib import sha256

GENERATOR = "sha256-counter"
"""What a proposal names as its generator."""

_DIGESTS = 2**256


class Draws:
    """The draws of one seed, in order."""

    def __init__(self, seed: str) -> None:
        self._seed = seed
        self._next = 0

    def below(self, bound: int) -> int:
        """The next number from 0 to `bound` - 1, each as likely; ValueError for a bound below 1."""
        if bound < 1:
            raise ValueError(f"no whole number lies from 0 to below {bound}")
        complete = _DIGESTS - _DIGESTS % bound
        while (value := self._digest()) >= complete:
            pass
        return value % bound

    def _digest(self) -> int:
        text = f"{self._seed}/{self._next}"
        self._next += 1
        return int.from_bytes(sha256(text.encode("utf-8")).digest(), "big")
