"""The figures beside the rules: read once as written, and named in one line."""

from typing import Any

import pytest

from qc.engine.standards.tables import load_tables, source_text


def test_the_tables_of_a_package_are_read_as_written() -> None:
    found = load_tables("qc.engine.characteristics.cleanliness")

    assert found["chains"]["iso_blast"] == ["Sa 1", "Sa 2", "Sa 2½", "Sa 3"]


def test_a_package_without_tables_says_so() -> None:
    with pytest.raises(FileNotFoundError):
        load_tables("qc.engine.fields")


@pytest.mark.parametrize(
    ("source", "text"),
    [
        (
            {"standard": "ISO 8502-3", "edition": "2017", "clause": "size classes"},
            "ISO 8502-3, 2017, size classes",
        ),
        ({"standard": "ISO 8502-3", "edition": "2017"}, "ISO 8502-3, 2017"),
        ({"standard": "ISO 8502-3", "clause": "size classes"}, "ISO 8502-3, size classes"),
        ({"standard": "ISO 8502-3", "edition": "", "clause": ""}, "ISO 8502-3"),
        ({"standard": "ISO 8502-3"}, "ISO 8502-3"),
    ],
)
def test_a_source_is_named_with_the_edition_and_clause_it_has(
    source: dict[str, Any], text: str
) -> None:
    assert source_text({"source": source}) == text
