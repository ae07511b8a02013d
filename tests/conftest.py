"""What every test relies on: a clean database, a file store of its own, the browser's thread."""

import contextlib
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from tests.people import people  # noqa: F401 - a fixture of every test

# Playwright's synchronous interface runs an event loop in the test's own thread, and Django then
# takes each query for one made inside a coroutine.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")


@contextlib.contextmanager
def unsealed(aliases: list[str]) -> Iterator[None]:
    """Lift the seals that make records append-only, and set them again whatever happens."""
    from django.db import connections

    from qc.ledger.seal import seal, unseal

    for alias in aliases:
        unseal(connections[alias])
    try:
        yield
    finally:
        for alias in aliases:
            seal(connections[alias])


@pytest.fixture(scope="session", autouse=True)
def clean_up_under_lifted_seals() -> Iterator[None]:
    """A transactional test (a live server's too) ends with all tables emptied, which seals refuse.

    They are lifted for that moment only: each test begins, runs and ends under the seals.
    """
    from django.test import TransactionTestCase

    empty_the_tables = TransactionTestCase._fixture_teardown  # type: ignore[attr-defined]

    def clean_up(test: Any) -> None:
        with unsealed(test._databases_names(include_mirrors=False)):
            empty_the_tables(test)

    with mock.patch.object(TransactionTestCase, "_fixture_teardown", clean_up):
        yield


@pytest.fixture(scope="session", autouse=True)
def passwords_hashed_at_little_cost() -> Iterator[None]:
    """What makes a hash hard to break makes people slow to create: most of a test's time."""
    from django.contrib.auth.hashers import Argon2PasswordHasher

    with mock.patch.multiple(Argon2PasswordHasher, time_cost=1, memory_cost=8, parallelism=1):
        yield


@pytest.fixture(autouse=True)
def evidence_of_its_own(settings: Any, tmp_path: Path) -> None:
    """A test neither sees the files of another nor leaves any among those of the demo."""
    folder = {"OPTIONS": {"location": tmp_path / "evidence"}}
    settings.STORAGES = settings.STORAGES | {"evidence": settings.STORAGES["evidence"] | folder}
