"""Letters that the certificate's typefaces hold; others are printed by their number."""

import unicodedata
from functools import cache
from io import BytesIO
from typing import Any

from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

from qc.certificate.assets import all_assets

_FACES = ("asset:SourceSansPro-Regular.otf", "asset:DejaVuSans.ttf")
_JOINERS = frozenset("\u200c\u200d\u00ad\n\t")
"""Invisible signs that scripts need, and white space: they cannot deceive."""


def legible(content: Any) -> Any:
    """JSON-like `content` with every letter printable: one that is not becomes ⟨U+6F22⟩.

    So do control signs, of which some would turn the order of the figures around them.
    """
    if isinstance(content, str):
        return content if content.isascii() and content.isprintable() else _spelled(content)
    if isinstance(content, dict):
        return {_key(name): legible(value) for name, value in content.items()}
    if isinstance(content, list):
        return [legible(item) for item in content]
    return content


def _key(name: str) -> str:
    return name if name.isascii() else _spelled(name)


def _spelled(text: str) -> str:
    return "".join(
        letter
        if _is_printable(letter)
        else f"\N{MATHEMATICAL LEFT ANGLE BRACKET}U+"
        f"{ord(letter):04X}\N{MATHEMATICAL RIGHT ANGLE BRACKET}"
        for letter in text
    )


def _is_printable(letter: str) -> bool:
    if letter in _JOINERS:
        return True
    return unicodedata.category(letter)[0] != "C" and ord(letter) in _held()


@cache
def _held() -> frozenset[int]:
    assets = all_assets()
    held: set[int] = set()
    for name in _FACES:
        with TTFont(BytesIO(assets[name].content), lazy=True) as font:
            held.update(font.getBestCmap())
    return frozenset(held)
