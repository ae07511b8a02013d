"""Cells of a table for a spreadsheet: text that looks like a formula is not one."""

import re
from datetime import date

from qc.engine.quantities import InvalidQuantity, Quantity, decimal_text

_STARTS_A_FORMULA = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20]|[\t\r\n\0]")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?", re.ASCII)


def cell(value: str | int | date | None) -> str:
    """A value as a cell. A text that a spreadsheet would run gets a quote before it; a figure,
    a negative one too, stays a figure.
    """
    if isinstance(value, int | date):
        return str(value)
    text = value or ""
    if _STARTS_A_FORMULA.match(text) and not _NUMBER.fullmatch(text):
        return f"'{text}"
    return text


def quantity_cells(text: str) -> tuple[str, str]:
    """A quantity as two cells, its figure and its unit: "-3.5 degC" is -3.5 and degC."""
    try:
        quantity = Quantity.parse(text)
    except InvalidQuantity:
        return cell(text), ""
    return decimal_text(quantity.magnitude), quantity.unit
