"""Stating rows: what an entry says of them, column by column, and says again from the tables.

The payload of an entry is nothing but its rows: `{"inspection": [{"id": 7, "series": 1, ...}],
"reading": [...]}`, by the name of the table's model, each row with every column. So a verifier can
state the rows again, and a changed column of any of them shows.
"""

import hashlib
from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime, time
from typing import Any
from uuid import UUID

from django.db import models

from qc.ledger.canonical import utc_text

TEXT_DIGEST = "sha256:"
"""Marks a long text that is stated by its SHA-256 instead of in full."""


def payload_of(rows: Iterable[models.Model]) -> dict[str, list[dict[str, Any]]]:
    """What an entry says of these rows: by table, in the order of their ids."""
    stated: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for row in rows:
        stated[table_of(type(row))].append(content(row))
    return {
        table: sorted(rows_of_table, key=lambda row: row["id"])
        for table, rows_of_table in sorted(stated.items())
    }


def table_of(model: type[models.Model]) -> str:
    """The name under which rows of `model` are stated."""
    return str(model._meta.model_name)


def content(row: models.Model) -> dict[str, Any]:
    """Every column of a row as JSON types, except those that its model says follow from acts."""
    left_out = getattr(row, "FOLLOWS_FROM_ACTS", ())
    return {
        field.attname: _stated(field, getattr(row, field.attname))
        for field in row._meta.concrete_fields
        if field.attname not in left_out
    }


def _stated(field: "models.Field[Any, Any]", value: Any) -> Any:
    if isinstance(field, models.JSONField) or value is None:
        return value
    kept = field.to_python(value) if not isinstance(field, models.ForeignKey) else value
    if isinstance(field, models.TextField):
        return TEXT_DIGEST + hashlib.sha256(kept.encode()).hexdigest()
    return _plain(kept)


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return utc_text(value)
    if isinstance(value, date | time):
        return value.isoformat()
    return str(value) if isinstance(value, str | UUID) else value
