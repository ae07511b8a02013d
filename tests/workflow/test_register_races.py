"""A failed check and an inspection made with the instrument, at once: neither misses the other."""

import threading
from collections.abc import Callable
from typing import Any
from unittest import mock

import pytest
from django.db import connection, connections

from qc.records.models import Nonconformance
from qc.workflow.register import consequences, instruments
from tests.factories import NOON, repair_on_site
from tests.people import People
from tests.workflow.doubting import LATER, fail, gauge, measured

PATIENCE = 1.0
"""Seconds that the check keeps its lock, in which the other act would have been done long ago."""


def alone(act: Callable[[], Any], problems: list[BaseException]) -> threading.Thread:
    """A thread that does one act on a connection of its own."""

    def run() -> None:
        try:
            act()
        except BaseException as problem:
            problems.append(problem)
        finally:
            connections.close_all()

    return threading.Thread(target=run)


@pytest.mark.django_db(transaction=True)
def test_an_inspection_recorded_while_its_instrument_fails_is_reported(people: People) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("SQLite lets one act in at a time anyhow")
    repair, kept = repair_on_site(people), gauge(people)
    looked, problems = threading.Event(), list[BaseException]()

    def lingering(*args: Any) -> None:
        consequences.doubt_readings(*args)
        looked.set()
        threading.Event().wait(PATIENCE)

    with mock.patch.object(instruments, "doubt_readings", lingering):
        check = alone(lambda: fail(people, kept), problems)
        check.start()
        assert looked.wait(20)
        entry = alone(lambda: measured(people, repair, kept, at=LATER, observed_at=NOON), problems)
        entry.start()
        check.join(20)
        entry.join(20)

    assert problems == []
    assert Nonconformance.objects.get().repair_id == repair.pk
