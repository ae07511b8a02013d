"""Cells for a spreadsheet: text never runs, figures stay figures."""

from datetime import date

import pytest

from qc.exchange.cells import cell, quantity_cells


@pytest.mark.parametrize(
    ("value", "kept"),
    [
        ("Pinhole", "Pinhole"),
        ("", ""),
        (None, ""),
        (3, "3"),
        (-3, "-3"),
        (date(2026, 5, 12), "2026-05-12"),
        ("-3.5", "-3.5"),
        ("+3", "+3"),
        ("=1+1", "'=1+1"),
        ("-1+1", "'-1+1"),
        ("- 3", "'- 3"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1", "'\t=1"),
        ("\r=1", "'\r=1"),
        ("\n=1", "'\n=1"),
        ("  =1", "'  =1"),
        ("\uff1d1", "'\uff1d1"),
        ("\uff0d1", "'\uff0d1"),
        ("-\u0663", "'-\u0663"),
        ("6 o'clock", "6 o'clock"),
    ],
)
def test_a_text_that_begins_a_formula_is_quoted(value: str | int | date | None, kept: str) -> None:
    assert cell(value) == kept


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("-3.5 degC", ("-3.5", "degC")),
        ("168.30 mm", ("168.30", "mm")),
        ("", ("", "")),
        ("=cmd", ("'=cmd", "")),
    ],
)
def test_a_quantity_is_a_figure_and_a_unit(text: str, cells: tuple[str, str]) -> None:
    assert quantity_cells(text) == cells
