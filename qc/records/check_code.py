"""The code by which anybody who holds a certificate finds out how it stands now."""

import secrets

ALPHABET = "ACDEFHJKMNPRTVWXY34679"
"""Letters and figures that no hand and no eye takes for one another: no I, L, 1, O, 0, B, 8 ..."""

_GROUPS, _GROUP = 5, 4
"""20 signs of 22 are 89 random bits."""


def new_check_code() -> str:
    """A code that can't be guessed: "ACDE-FHJK-MNPR-TVWX-Y346"."""
    signs = [secrets.choice(ALPHABET) for _ in range(_GROUPS * _GROUP)]
    return "-".join("".join(signs[at : at + _GROUP]) for at in range(0, len(signs), _GROUP))


def as_kept(typed: str) -> str:
    """A code as it is kept, however it was typed; "" where it is none."""
    signs = "".join(sign for sign in typed.upper() if sign not in "- ")
    if len(signs) != _GROUPS * _GROUP or not set(signs) <= set(ALPHABET):
        return ""
    return "-".join(signs[at : at + _GROUP] for at in range(0, len(signs), _GROUP))
