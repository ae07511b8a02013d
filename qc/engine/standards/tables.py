"""Loads the figures that stand in `tables.toml` beside the rules that use them."""

import tomllib
from functools import cache
from importlib import resources
from typing import Any


@cache
def load_tables(package: str) -> dict[str, Any]:
    """The tables of `package` (a dotted name), as parsed from its `tables.toml`."""
    return tomllib.loads(resources.files(package).joinpath("tables.toml").read_text("utf-8"))


def source_text(tables: dict[str, Any]) -> str:
    """The one-line source printed beside a finding that rests on these tables."""
    source = tables["source"]
    parts = (source["standard"], source.get("edition", ""), source.get("clause", ""))
    return ", ".join(part for part in parts if part)
