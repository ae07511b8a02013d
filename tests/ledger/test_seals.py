"""The database itself refuses to change or remove what was written once."""

from typing import Any

import pytest
from django.db import DatabaseError, connection, models, transaction

from qc.ledger.seal import sealed_tables
from qc.records.models import Inspection, Reading
from tests.factories import THICKNESS, finished_repair, record, repair_on_site
from tests.people import People


def refused(statement: str, *values: Any) -> bool:
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement, values)
    except DatabaseError as error:
        return "sealed" in str(error)
    return False


def test_the_tables_that_hold_the_record_are_sealed() -> None:
    assert set(sealed_tables()) >= {
        "qc_batch",
        "qc_calibration",
        "qc_certificate",
        "qc_entry",
        "qc_evidence",
        "qc_inspection",
        "qc_instrument",
        "qc_plan",
        "qc_planstep",
        "qc_pointclosure",
        "qc_reading",
        "qc_return",
        "qc_signature",
    }


@pytest.mark.parametrize("table", ["qc_inspection", "qc_reading", "qc_entry", "qc_evidence"])
def test_no_row_is_updated_or_deleted(people: People, table: str) -> None:
    finished_repair(people)

    assert refused(f"UPDATE {table} SET id = id")
    assert refused(f"DELETE FROM {table}")


def test_replace_does_not_slip_past_the_seal(people: People) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("INSERT OR REPLACE is SQLite's")
    record(people, repair_on_site(people), THICKNESS)

    columns = 'id, inspection_id, position, "values", as_typed'
    statement = (
        f"INSERT OR REPLACE INTO qc_reading ({columns}) "
        "SELECT id, inspection_id, position, '{}', as_typed FROM qc_reading"
    )
    assert refused(statement)


def test_an_upsert_does_not_slip_past_the_seal(people: People) -> None:
    record(people, repair_on_site(people), THICKNESS)
    reading = Reading.objects.get()
    reading.values = {"values": ["9 mm"]}

    with pytest.raises(DatabaseError, match="sealed"), transaction.atomic():
        Reading.objects.bulk_create(
            [reading], update_conflicts=True, unique_fields=["id"], update_fields=["values"]
        )


def test_truncate_does_not_slip_past_the_seal(people: People) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("TRUNCATE is PostgreSQL's")
    record(people, repair_on_site(people), THICKNESS)
    # Outstanding checks of foreign keys would refuse it too, before the seal is asked.
    connection.check_constraints()

    assert refused("TRUNCATE qc_reading CASCADE")


def test_a_replication_role_does_not_slip_past_the_seal(people: People) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("session_replication_role is PostgreSQL's")
    record(people, repair_on_site(people), THICKNESS)
    with connection.cursor() as cursor:
        cursor.execute("SET LOCAL session_replication_role = replica")

    assert refused("UPDATE qc_reading SET position = 7")


def test_the_orm_has_no_way_round(people: People) -> None:
    record(people, repair_on_site(people), THICKNESS)
    rows: models.QuerySet[Inspection] = Inspection.objects.all()

    for attempt in (lambda: rows.update(outcome="conforms"), lambda: rows.get().delete()):
        with pytest.raises(DatabaseError), transaction.atomic():
            attempt()


@pytest.mark.django_db
def test_triggers_fire_for_replaced_rows_on_every_connection() -> None:
    if connection.vendor != "sqlite":
        pytest.skip("pragmas are SQLite's")
    with connection.cursor() as cursor:
        values = [
            cursor.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("recursive_triggers", "foreign_keys", "synchronous")
        ]

    assert values == [1, 1, 2]
