"""Many append to one chain at once: it has no gap and no fork, and the lock is why."""

from pathlib import Path

import pytest
from django.db import IntegrityError, connection, transaction

from qc.accounts.models import User
from qc.ledger.chain import first_broken, repair_chain
from qc.records.models import Repair
from tests.factories import planned_repair
from tests.ledger.contenders import Crew, in_threads, meeting_at, no_locks
from tests.ledger.crew import append_one
from tests.people import People


def append_some(repair_id: int, actor: User, count: int) -> int:
    for _ in range(count):
        with transaction.atomic():
            Repair.objects.select_for_update().get(pk=repair_id)
            append_one(repair_id, actor)
    return count


@pytest.mark.django_db(transaction=True)
def test_eight_threads_append_two_hundred_entries_without_gap_or_fork(people: People) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("threads share no database in memory")
    repair = planned_repair(people)
    before = repair_chain(repair.pk).entries().count()

    done = in_threads([lambda: append_some(repair.pk, people.ines, 25)] * 8)

    assert done == [25] * 8
    chain = repair_chain(repair.pk)
    positions = list(chain.entries().values_list("position", flat=True))
    assert positions == list(range(1, before + 201))
    assert len(set(chain.entries().values_list("previous_hash", flat=True))) == before + 200
    assert first_broken(chain) is None


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("locked", [True, False])
def test_only_the_lock_keeps_two_from_following_the_same_entry(
    people: People, locked: bool
) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("SQLite has one writer at a time anyhow")
    repair = planned_repair(people)
    works = [lambda: append_some(repair.pk, people.ines, 1)] * 2

    with meeting_at("qc.ledger.chain.hash_of"):
        if locked:
            done = in_threads(works)
        else:
            with no_locks():
                done = in_threads(works)

    failed = [problem for problem in done if isinstance(problem, IntegrityError)]
    assert len(failed) == (0 if locked else 1)
    assert first_broken(repair_chain(repair.pk)) is None


def test_four_processes_append_a_hundred_entries_without_gap_or_fork(tmp_path: Path) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("the processes share an SQLite file")
    crew = Crew(tmp_path)
    repair_id = crew.once("plan_a_repair")

    assert crew.at_once([("append_many", repair_id, 25)] * 4) == ["done"] * 4

    assert crew.once("shape", repair_id) == "102 102 102 None"
