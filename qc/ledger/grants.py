"""What the web role may do on PostgreSQL: read and add; change only where nothing is sealed.

A seal is a trigger, and the owner of a table can take its triggers away. So another role owns the
tables and migrates, and the one that serves the web has no way to lift a seal.
"""

from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Tags, Warning, register
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

from qc.ledger.seal import sealed_tables

_MIGRATIONS = "django_migrations"

_REACH = """
GRANT USAGE ON SCHEMA public TO {role};
GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public TO {role};
"""
_TABLE = """
REVOKE ALL ON {table} FROM {role};
GRANT {rights} ON {table} TO {role};
"""

_POWERS = """
SELECT CASE WHEN rolsuper THEN 'it is a superuser' END FROM pg_roles WHERE rolname = current_user
UNION ALL
SELECT 'it owns ' || tablename FROM pg_tables
WHERE tablename = ANY(%(tables)s::text[]) AND pg_has_role(current_user, tableowner, 'MEMBER')
UNION ALL
SELECT 'it may ' || lower(right_) || ' ' || table_
FROM unnest(%(tables)s::text[]) AS table_, unnest(ARRAY['UPDATE', 'DELETE', 'TRUNCATE']) AS right_
WHERE to_regclass(table_) IS NOT NULL AND has_table_privilege(table_, right_)
"""


def grant_after_migrate(using: str = "default", **_: Any) -> None:
    """Give the web role its rights, where another role than it has migrated."""
    connection = connections[using]
    role = str(settings.DATABASES[using].get("USER", ""))
    if connection.vendor == "postgresql" and role != connection.settings_dict["USER"]:
        grant(connection, role)


def grant(connection: BaseDatabaseWrapper, role: str) -> None:
    """Let `role` read and add rows everywhere, and change and delete them in unsealed tables."""
    quoted = connection.ops.quote_name(role)
    with connection.cursor() as cursor:
        cursor.execute(_REACH.replace("{role}", quoted))
        for table in connection.introspection.table_names(cursor):
            statement = _TABLE.replace("{role}", quoted).replace("{rights}", _rights(table))
            cursor.execute(statement.replace("{table}", connection.ops.quote_name(table)))


def powers(connection: BaseDatabaseWrapper) -> list[str]:
    """What the connected role could do to a sealed table, and ought not to be able to."""
    with connection.cursor() as cursor:
        cursor.execute(_POWERS, {"tables": list(sealed_tables())})
        return [row[0] for row in cursor.fetchall() if row[0]]


@register(Tags.database, deploy=True)
def check_web_role(app_configs: Any, databases: Any = None, **_: Any) -> list[CheckMessage]:
    """`manage.py check --deploy --database default`: a role that could lift the seals is told."""
    found: list[CheckMessage] = []
    for alias in databases or ():
        connection = connections[alias]
        could = powers(connection) if connection.vendor == "postgresql" else []
        if could:
            role = connection.settings_dict["USER"]
            message = f"The web role {role} could lift the seals: {could[0]}."
            hint = (
                "Set DATABASE_OWNER_URL, migrate with it, and let DATABASE_URL name another role."
            )
            found.append(Warning(message, hint=hint, id="qc.W001"))
    return found


def _rights(table: str) -> str:
    if table in sealed_tables():
        return "SELECT, INSERT"
    return "SELECT" if table == _MIGRATIONS else "SELECT, INSERT, UPDATE, DELETE"
