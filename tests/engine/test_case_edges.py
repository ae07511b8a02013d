"""The case format: a long or odd key is shown in part, and sources are texts by criterion."""

import pytest

from qc.engine.case import characteristic_named, judge_case
from qc.engine.fields import InvalidValue


@pytest.mark.parametrize(
    ("key", "seen"),
    [
        ("x" * 40, repr("x" * 40) + " is not one of: "),
        ("y" * 41, repr("y" * 40) + " is not one of: "),
        (3, "must be one of: "),
        (None, "must be one of: "),
    ],
)
def test_of_an_unknown_key_forty_letters_are_shown(key: object, seen: str) -> None:
    with pytest.raises(InvalidValue) as refused:
        characteristic_named(key)

    assert str(refused.value).startswith(f"case.characteristic: {seen}")


def test_a_refusal_names_the_path_that_was_handed_in() -> None:
    with pytest.raises(InvalidValue, match=r"^line 3\.characteristic: "):
        characteristic_named("x", "line 3")
    with pytest.raises(InvalidValue, match=r"^line 3\.sources: "):
        judge_case({"characteristic": "ambient", "sources": []}, "line 3")
    with pytest.raises(InvalidValue, match=r"^line 3\.colour: "):
        judge_case({"colour": "red"}, "line 3")
