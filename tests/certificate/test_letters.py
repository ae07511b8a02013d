"""Letters that no typeface of the certificate holds, and signs that nobody sees."""

import pytest

from qc.certificate.letters import legible


@pytest.mark.parametrize(
    "text",
    [
        "µm ° ± ≤ ≥ ½ ² × − –",
        "Åse Øster",
        "Łukasz Żółw",
        "Ирина",
        "Ελένη",
        "שלום",
        "e\u0301",
        "\n\t",
    ],
)
def test_letters_that_the_typefaces_hold_stay(text: str) -> None:
    assert legible(text) == text


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("漢", "⟨U+6F22⟩"),
        ("ok\u202e5.3", "ok⟨U+202E⟩5.3"),
        ("a\u200bb", "a⟨U+200B⟩b"),
        ("a\x00b", "a⟨U+0000⟩b"),
    ],
)
def test_others_are_printed_by_their_number(text: str, printed: str) -> None:
    assert legible(text) == printed


def test_every_text_of_a_record_is_gone_through() -> None:
    content = {"名": ["漢", {"note": "字", "count": 3, "late": False, "none": None}]}

    assert legible(content) == {
        "⟨U+540D⟩": ["⟨U+6F22⟩", {"note": "⟨U+5B57⟩", "count": 3, "late": False, "none": None}]
    }
