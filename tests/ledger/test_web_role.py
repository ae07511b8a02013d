"""The role that serves the web can lift no seal: on PostgreSQL another one owns the tables."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

import psycopg
import pytest
from django.conf import settings
from django.core.checks import run_checks
from django.db import connection
from django.test import override_settings
from psycopg import errors

from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.ledger.grants import grant, powers
from qc.ledger.seal import sealed_tables
from tests.factories import (
    finished_repair,
    put_signature,
)
from tests.people import People

pytestmark = pytest.mark.skipif(
    "postgresql" not in settings.DATABASES["default"]["ENGINE"], reason="roles are PostgreSQL's"
)

ROLE = f"web_{os.getpid()}"

REFUSED = (
    "UPDATE {t} SET id = id",
    "DELETE FROM {t}",
    "INSERT INTO {t} SELECT * FROM {t} ON CONFLICT (id) DO UPDATE SET id = 0",
    "MERGE INTO {t} USING {t} AS s ON {t}.id = s.id WHEN MATCHED THEN DELETE",
    "TRUNCATE {t}",
    "TRUNCATE {t} CASCADE",
    "SELECT * FROM {t} FOR UPDATE",
    "ALTER TABLE {t} DISABLE TRIGGER ALL",
    "ALTER TABLE {t} DISABLE TRIGGER seal_rows",
    "ALTER TABLE {t} DROP COLUMN id",
    "ALTER TABLE {t} OWNER TO CURRENT_USER",
    "ALTER TABLE {t} RENAME TO away",
    "DROP TRIGGER seal_rows ON {t}",
    "DROP TABLE {t} CASCADE",
    "CREATE TRIGGER mine BEFORE INSERT ON {t} FOR EACH ROW EXECUTE FUNCTION qc_sealed()",
    "CREATE RULE mine AS ON INSERT TO {t} DO INSTEAD NOTHING",
    "SET session_replication_role = replica",
    "CREATE OR REPLACE FUNCTION qc_sealed() RETURNS trigger LANGUAGE plpgsql AS "
    "$$ BEGIN RETURN NEW; END $$",
    "DROP FUNCTION qc_sealed CASCADE",
    "CREATE TABLE mine (id int)",
    "ALTER ROLE CURRENT_USER SUPERUSER",
    "DELETE FROM django_migrations",
)
"""What the web role may not do, to every sealed table."""


@contextmanager
def web_role() -> Iterator[str]:
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE ROLE {ROLE} LOGIN")
    grant(connection, ROLE)
    try:
        yield ROLE
    finally:
        with connection.cursor() as cursor:
            cursor.execute(f"RESET ROLE; DROP OWNED BY {ROLE}; DROP ROLE {ROLE}")


@contextmanager
def logged_in(role: str, database: str = "") -> Iterator[psycopg.Connection]:
    params = {
        name: value
        for name, value in connection.get_connection_params().items()
        if name in ("host", "port", "dbname", "client_encoding")
    }
    if database:
        params["dbname"] = database
    with psycopg.connect(**params, user=role, autocommit=True) as its_own:
        yield its_own


def is_refused(web: psycopg.Connection, statement: str) -> bool:
    """True if the role has not the right; any other error is none of a refusal."""
    try:
        web.execute(statement)
    except errors.InsufficientPrivilege:
        return True
    return False


@pytest.mark.django_db(transaction=True)
def test_the_web_role_is_refused_whatever_would_lift_a_seal() -> None:
    with web_role() as role, logged_in(role) as web:
        for table in ("qc_entry", "qc_reading", "qc_signature", "qc_certificate", "qc_checkpoint"):
            for statement in REFUSED:
                assert is_refused(web, statement.replace("{t}", table)), statement


@pytest.mark.django_db(transaction=True)
def test_the_web_role_cannot_give_itself_a_right() -> None:
    with web_role() as role, logged_in(role) as web:
        web.execute("GRANT UPDATE, DELETE, TRUNCATE ON qc_entry TO CURRENT_USER")

        assert is_refused(web, "UPDATE qc_entry SET id = id")
        assert is_refused(web, "DELETE FROM qc_entry")
        assert is_refused(web, "TRUNCATE qc_entry")


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("right", ["UPDATE", "DELETE", "TRUNCATE", "TRIGGER", "REFERENCES"])
def test_no_sealed_table_gives_the_web_role_more_than_reading_and_adding(right: str) -> None:
    with web_role() as role, logged_in(role) as web:
        for table in sealed_tables():
            rights = web.execute(
                "SELECT has_table_privilege(%(t)s, 'SELECT'), has_table_privilege(%(t)s, 'INSERT'),"
                " has_table_privilege(%(t)s, %(right)s)",
                {"t": table, "right": right},
            ).fetchone()
            assert rights == (True, True, False), table


def test_the_acts_need_no_more_than_the_web_role_has(people: People) -> None:
    connection.check_constraints()
    with web_role() as role:
        with connection.cursor() as cursor:
            cursor.execute(f"SET ROLE {role}")
        repair = finished_repair(people)
        for party in Party:
            put_signature(people, repair, party)
        repair.refresh_from_db()
        assert repair.status == Status.APPROVED
        # Deferred checks of foreign keys are made by the tables' owner.
        connection.check_constraints()


def test_a_role_that_could_lift_the_seals_is_told(people: People) -> None:
    (warning,) = run_checks(
        tags=["database"], databases=["default"], include_deployment_checks=True
    )

    assert warning.id == "qc.W001"
    assert "it is a superuser" in warning.msg
    connection.check_constraints()
    with web_role() as role, connection.cursor() as cursor:
        cursor.execute(f"SET ROLE {role}")
        assert powers(connection) == []


@pytest.mark.django_db(transaction=True)
def test_the_owner_migrates_and_the_web_role_gets_its_rights(tmp_path: Path) -> None:
    owner, database = f"owner_{os.getpid()}", f"two_roles_{os.getpid()}"
    host = quote(connection.settings_dict["HOST"], safe="")
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE ROLE {ROLE} LOGIN")
        cursor.execute(f"CREATE ROLE {owner} LOGIN")
        cursor.execute(f"CREATE DATABASE {database} OWNER {owner}")
    try:
        environment = os.environ | {
            "DATABASE_URL": f"postgresql://{ROLE}@{host}/{database}",
            "DATABASE_OWNER_URL": f"postgresql://{owner}@{host}/{database}",
            "QC_VAR": str(tmp_path),
        }
        command = [sys.executable, "manage.py", "migrate", "--verbosity=0"]
        subprocess.run(command, cwd=settings.BASE_DIR, env=environment, check=True)
        with logged_in(ROLE, database) as web:
            web.execute("INSERT INTO qc_organisation (name) VALUES ('Terminal')")
            web.execute("UPDATE qc_organisation SET name = 'Works'")
            with pytest.raises(errors.InsufficientPrivilege):
                web.execute("DELETE FROM qc_entry")
            assert web.execute(
                "SELECT DISTINCT tableowner FROM pg_tables WHERE schemaname = 'public'"
            ).fetchall() == [(owner,)]
    finally:
        with connection.cursor() as cursor:
            cursor.execute(f"DROP DATABASE {database} WITH (FORCE)")
            cursor.execute(f"DROP ROLE {owner}")
            cursor.execute(f"DROP ROLE {ROLE}")


def test_an_owner_of_another_place_is_refused() -> None:
    from qc.management.one_line import BadUse
    from qc.management.owner import as_owner

    elsewhere = settings.DATABASES["default"] | {"HOST": "elsewhere.example", "USER": "owner"}
    with override_settings(DATABASE_OWNER=elsewhere), pytest.raises(BadUse, match="the same"):
        with as_owner("default"):
            pass
