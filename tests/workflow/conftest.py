"""Whatever a test of the acts leaves behind, its ledger holds."""

from collections.abc import Iterator

import pytest

from qc.ledger.rows import Scope
from qc.workflow.verification import verify


@pytest.fixture
def unchecked_ledger() -> None:
    """For a test that shows how a ledger comes not to hold."""


@pytest.fixture(autouse=True)
def the_ledger_holds(request: pytest.FixtureRequest) -> Iterator[None]:
    """After each test every row is stated by the entry of its act, and every chain is sound."""
    uses_tables = "db" in request.fixturenames or "transactional_db" in request.fixturenames
    if uses_tables:
        request.getfixturevalue("db")
    yield
    if uses_tables and "unchecked_ledger" not in request.fixturenames:
        assert verify(Scope()).findings == []
