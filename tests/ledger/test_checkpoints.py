"""Checkpoints: taken at each release and daily, sent outside, and compared with."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from django.apps import apps
from django.core import mail
from django.core.management import call_command
from django.db import DatabaseError, transaction

from qc.ledger.chain import GENESIS, head_of, register_chain, repair_chain
from qc.ledger.checkpoints import as_kept, hash_of_kept, take
from qc.ledger.models import Checkpoint
from tests.factories import NOON, planned_repair
from tests.ledger.histories import execute, lifted_seals, rehash, released_repair
from tests.people import People

Captured = pytest.CaptureFixture[str]


def run(*arguments: str) -> int:
    """The exit status of a command."""
    try:
        call_command(*arguments)
    except SystemExit as ended:
        return int(ended.code or 0)
    return 0


def test_a_release_takes_a_checkpoint_over_all_chains(people: People) -> None:
    other = planned_repair(people, number="R-015")
    repair = released_repair(people)

    checkpoint = Checkpoint.objects.get()
    assert checkpoint.occasion == "release of QR-R-014"
    chains = [register_chain(people.project.pk), repair_chain(other.pk), repair_chain(repair.pk)]
    assert checkpoint.heads == [[str(c.kind), c.subject_id, *head_of(c)] for c in chains]


def test_each_checkpoint_follows_the_one_before(people: People) -> None:
    first, second = take(NOON, "daily"), take(NOON, "daily")

    assert (first.position, first.previous_hash) == (1, GENESIS)
    assert (second.position, second.previous_hash) == (2, first.own_hash)
    assert second.own_hash == hash_of_kept(as_kept(second)) != first.own_hash


def test_a_checkpoint_is_sealed(people: People) -> None:
    take(NOON, "daily")

    with pytest.raises(DatabaseError, match="sealed"), transaction.atomic():
        Checkpoint.objects.update(occasion="never")


def test_the_file_kept_outside_gets_all_that_it_lacks(people: People, tmp_path: Path) -> None:
    target = tmp_path / "kept.jsonl"
    take(NOON, "daily")

    assert run("checkpoint", "--to", str(target)) == 0
    take(NOON, "daily")
    assert run("checkpoint", "--to", str(target)) == 0

    kept = [json.loads(line) for line in target.read_text().splitlines()]
    assert [checkpoint["position"] for checkpoint in kept] == [1, 2, 3, 4]
    assert kept == [as_kept(checkpoint) for checkpoint in Checkpoint.objects.all()]


def test_a_file_that_tells_of_another_history_is_left_as_it_is(
    people: People, tmp_path: Path, capsys: Captured
) -> None:
    target = tmp_path / "kept.jsonl"
    run("checkpoint", "--to", str(target))
    before = target.read_text()
    with lifted_seals():
        execute("DELETE FROM qc_checkpoint")

    assert run("checkpoint", "--to", str(target)) == 1
    assert target.read_text() == before
    assert "tells of another history: checkpoint 1 is truncated" in capsys.readouterr().out


def test_a_checkpoint_goes_out_by_mail_as_a_file_to_compare_with(
    people: People, tmp_path: Path
) -> None:
    released_repair(people)

    assert run("checkpoint", "--mail", "clara@example.org") == 0

    (message,) = mail.outbox
    (attached,) = message.attachments
    target = tmp_path / str(attached[0])
    target.write_text(str(attached[1]))
    assert message.to == ["clara@example.org"]
    assert Checkpoint.objects.latest("position").own_hash in message.body
    assert run("verify_ledger", "--repair", "R-014", "--checkpoints", str(target)) == 0


def cut_everything(people: People) -> None:
    execute("DELETE FROM qc_entry")


def rewrite_everything(people: People) -> None:
    execute("UPDATE qc_entry SET actor_name = 'Somebody'")
    for chain in {repair_chain(pk) for (pk,) in _repairs()}:
        rehash(chain)


def _repairs() -> list[tuple[int]]:
    from qc.records.models import Repair

    return list(Repair.objects.values_list("pk"))


@pytest.mark.parametrize(
    ("tamper", "said"),
    [
        (cut_everything, "entry 1: truncated: a checkpoint saw 2 entries and there are 0"),
        (rewrite_everything, "entry 1: rewritten: entries 1 to 2 of a checkpoint had another hash"),
    ],
)
def test_verify_ledger_names_what_was_kept_outside_and_is_no_more(
    people: People,
    tmp_path: Path,
    capsys: Captured,
    tamper: Callable[[People], None],
    said: str,
) -> None:
    planned_repair(people)
    target = tmp_path / "kept.jsonl"
    run("checkpoint", "--to", str(target))
    with lifted_seals():
        tamper(people)
        execute("DELETE FROM qc_checkpoint")

    assert run("verify_ledger", "--checkpoints", str(target)) == 1
    out = capsys.readouterr().out
    assert f"repair SQT R-014, {said}" in out
    assert "checkpoint 1: truncated: it is kept outside and not in the table" in out


def test_verify_ledger_says_what_it_looked_at(people: People, capsys: Captured) -> None:
    released_repair(people)

    assert run("verify_ledger", "--repair", "R-014", "--files") == 0
    assert "Sound: 1 chains, 14 entries, 1 checkpoints, 2 files." in capsys.readouterr().out


def test_verify_ledger_names_each_thing_in_a_line(people: People, capsys: Captured) -> None:
    planned_repair(people)
    with lifted_seals():
        execute("UPDATE qc_repair SET title = 'Another'")

    assert run("verify_ledger", "--project", "SQT") == 1
    said = capsys.readouterr().out.splitlines()
    key = _repairs()[0][0]
    assert said == [f"repair SQT R-014, entry 1: altered: repair {key} is not as stated: title"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("verify_ledger", "--repair", "R-999"), "there is no repair 'R-999'"),
        (("verify_ledger", "--project", "NOWHERE"), "there is no project 'NOWHERE'"),
        (("verify_ledger", "--checkpoints", "/nowhere/kept"), "No such file"),
        (("checkpoint", "--to", "/nowhere/kept"), "No such file"),
        (("checkpoint", "--mail", "nobody"), "'nobody' is no e-mail address"),
    ],
)
def test_bad_use_is_one_line_and_status_two(
    people: People, capsys: Captured, arguments: tuple[str, ...], said: str
) -> None:
    assert run(*arguments) == 2
    error = capsys.readouterr().err
    assert said in error and error.count("\n") == 1
    assert not Checkpoint.objects.exists()


@pytest.mark.parametrize("line", ["{", "[]", '{"position": 1}', '"x"'])
def test_a_file_that_holds_no_checkpoints_is_bad_use(
    people: People, tmp_path: Path, capsys: Captured, line: str
) -> None:
    target = tmp_path / "kept.jsonl"
    target.write_text(f"{line}\n")

    assert run("verify_ledger", "--checkpoints", str(target)) == 2
    assert "line 1: this is no checkpoint" in capsys.readouterr().err


def test_the_same_number_in_two_projects_wants_the_project(
    people: People, capsys: Captured
) -> None:
    from qc.records.models import Repair

    first = planned_repair(people)
    Repair.objects.create(
        project=people.elsewhere,
        number=first.number,
        title="Another",
        asset=first.asset,
        created_by=people.carl,
        created_at=NOON,
    )

    assert run("verify_ledger", "--repair", "R-014") == 2
    assert "add --project" in capsys.readouterr().err
    assert run("verify_ledger", "--repair", "R-014", "--project", "SQT") == 0


def test_there_are_no_admin_pages() -> None:
    from django.urls import NoReverseMatch, reverse

    assert not apps.is_installed("django.contrib.admin")
    with pytest.raises(NoReverseMatch):
        reverse("admin:index")
