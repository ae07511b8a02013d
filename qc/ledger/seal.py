"""Seals: triggers by which the database itself refuses to change a row that was written once."""

from typing import Any

from django.apps import apps
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

from qc.ledger.sealed import Sealed

_SQLITE_SEAL = """
CREATE TRIGGER IF NOT EXISTS seal_{event}_{table} BEFORE {event} ON {table}
BEGIN SELECT RAISE(ABORT, '{table} is sealed: rows never change'); END
"""

_POSTGRESQL_FUNCTION = """
CREATE OR REPLACE FUNCTION qc_sealed() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION '% is sealed: rows never change', TG_TABLE_NAME; END $$
"""

# ALWAYS: a replication role would otherwise pass by the trigger. TRUNCATE fires no row trigger.
_POSTGRESQL_SEAL = """
CREATE OR REPLACE TRIGGER seal_rows BEFORE UPDATE OR DELETE ON {table}
FOR EACH ROW EXECUTE FUNCTION qc_sealed();
ALTER TABLE {table} ENABLE ALWAYS TRIGGER seal_rows;
CREATE OR REPLACE TRIGGER seal_truncate BEFORE TRUNCATE ON {table}
FOR EACH STATEMENT EXECUTE FUNCTION qc_sealed();
ALTER TABLE {table} ENABLE ALWAYS TRIGGER seal_truncate;
"""

_POSTGRESQL_UNSEAL = """
DROP TRIGGER IF EXISTS seal_rows ON {table};
DROP TRIGGER IF EXISTS seal_truncate ON {table};
"""


def sealed_tables() -> tuple[str, ...]:
    """The names of the tables whose rows never change."""
    models = apps.get_app_config("qc").get_models()
    return tuple(sorted(m._meta.db_table for m in models if issubclass(m, Sealed)))


def seal(connection: BaseDatabaseWrapper) -> None:
    """Put every seal in place; those that are there stay."""
    _run(connection, _sealing(connection.vendor))


def unseal(connection: BaseDatabaseWrapper) -> None:
    """Lift every seal: for the clean-up of tests, which empties tables."""
    _run(connection, _unsealing(connection.vendor))


def seal_after_migrate(using: str = "default", **_: Any) -> None:
    """Seal the tables that exist once migrations have run."""
    seal(connections[using])


def _sealing(vendor: str) -> list[str]:
    if vendor == "sqlite":
        return [_SQLITE_SEAL.replace("{event}", event) for event in ("UPDATE", "DELETE")]
    return [_POSTGRESQL_FUNCTION, _POSTGRESQL_SEAL]


def _unsealing(vendor: str) -> list[str]:
    if vendor == "sqlite":
        return [f"DROP TRIGGER IF EXISTS seal_{event}_{{table}}" for event in ("UPDATE", "DELETE")]
    return [_POSTGRESQL_UNSEAL]


def _run(connection: BaseDatabaseWrapper, templates: list[str]) -> None:
    with connection.cursor() as cursor:
        present = set(connection.introspection.table_names(cursor))
        for template in templates:
            if "{table}" not in template:
                cursor.execute(template)
                continue
            for table in sealed_tables():
                if table in present:
                    cursor.execute(template.replace("{table}", table))
