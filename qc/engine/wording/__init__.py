"""Criteria, readings and moments in words: what pages and certificates print of a record."""

from qc.engine.wording.asked import Asked, asked_of
from qc.engine.wording.sheet import Column, Sheet, joined, results_of, sheet_of
from qc.engine.wording.values import (
    day_text,
    moment_text,
    quantity_text,
    unit_beside,
    value_text,
    weekday_text,
)

__all__ = [
    "Asked",
    "Column",
    "Sheet",
    "asked_of",
    "day_text",
    "joined",
    "moment_text",
    "quantity_text",
    "results_of",
    "sheet_of",
    "unit_beside",
    "value_text",
    "weekday_text",
]
