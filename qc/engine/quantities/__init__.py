"""Exact numbers with a unit."""

from qc.engine.quantities.display import decimal_text, shown
from qc.engine.quantities.quantity import InvalidQuantity, Magnitude, Quantity, parse_decimal
from qc.engine.quantities.units import Dimension, dimension_of, symbol_of, unit_named, units_of

__all__ = [
    "Dimension",
    "InvalidQuantity",
    "Magnitude",
    "Quantity",
    "decimal_text",
    "dimension_of",
    "parse_decimal",
    "shown",
    "symbol_of",
    "unit_named",
    "units_of",
]
