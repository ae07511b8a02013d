"""Two people do the same thing at once: exactly one succeeds, and the other is told.

On PostgreSQL by threads, one of which is held where it has decided and not yet written, so that the
other may overtake it. Each race is run without its lock too, and then nobody is told. On SQLite by
processes, which its one writer at a time keeps apart.
"""

from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection

from qc.accounts.models import Membership, User
from qc.engine.lifecycle import Refused, Status
from qc.engine.plan import Party
from qc.ledger.chain import Entry, first_broken, head_of, repair_chain
from qc.records.check_code import new_check_code
from qc.records.models import Certificate, Inspection, Repair
from qc.workflow import (
    Manner,
    Observation,
    RepairOutline,
    close_point,
    correct_inspection,
    release_certificate,
    return_repair,
    sign,
    start_repair,
)
from qc.workflow.document import record_digest, record_document
from tests.factories import (
    NOON,
    READINGS,
    THICKNESS,
    finished_repair,
    record,
    repair_at,
    repair_on_site,
)
from tests.ledger.contenders import Crew, no_locks, overtaken
from tests.people import PASSWORD, People

Race = Callable[[People], tuple[Repair, list[Callable[[], Any]]]]


def colleague(people: People, party: Party) -> User:
    """A second person of the same party."""
    user = User.objects.create_user("second", password=PASSWORD, first_name="Second")
    Membership.objects.create(project=people.project, user=user, party=party)
    return user


def both(people: People, party: Party, work: Callable[[User], Any]) -> list[Callable[[], Any]]:
    """The same work, by two people of a party."""
    second = colleague(people, party)
    return [lambda: work(people.of(party)), lambda: work(second)]


def releasing(people: People, repair: Repair) -> Callable[[User], Entry]:
    snapshot: dict[str, object] = {"record": record_document(repair)}
    return lambda actor: release_certificate(
        repair_id=repair.pk,
        number=f"QR-{actor.username}",
        check_code=new_check_code(),
        snapshot=snapshot,
        pdf=b"%PDF-1.7",
        actor=actor,
        at=NOON,
        act_id=uuid4(),
    )


def returning(repair: Repair) -> Callable[[User], Entry]:
    return lambda actor: return_repair(
        repair_id=repair.pk, reason="Seen again", actor=actor, at=NOON, act_id=uuid4()
    )


def correcting(repair: Repair, inspection_id: int) -> Callable[[User], Entry]:
    use = Inspection.objects.get(pk=inspection_id).instrument_uses.get()
    observation = Observation(
        readings=READINGS[THICKNESS], observed_at=NOON, instruments=[use.instrument_id]
    )
    return lambda actor: correct_inspection(
        repair_id=repair.pk,
        position=THICKNESS,
        inspection_id=inspection_id,
        reason="Misread",
        observation=observation,
        actor=actor,
        at=NOON,
        act_id=uuid4(),
    )


def two_release(people: People) -> tuple[Repair, list[Callable[[], Any]]]:
    repair = repair_at(people, Status.APPROVED)
    return repair, both(people, Party.CLIENT, releasing(people, repair))


def two_sign(people: People) -> tuple[Repair, list[Callable[[], Any]]]:
    repair = finished_repair(people)
    seen = record_digest(repair)
    return repair, both(
        people,
        Party.INSPECTOR,
        lambda actor: sign(
            repair_id=repair.pk,
            party=Party.INSPECTOR,
            password=PASSWORD,
            seen_digest=seen,
            actor=actor,
            at=NOON,
            act_id=uuid4(),
        ),
    )


def two_correct(people: People) -> tuple[Repair, list[Callable[[], Any]]]:
    repair = repair_on_site(people)
    wrong = record(people, repair, THICKNESS).stated(Inspection)[0]["id"]
    return repair, both(people, Party.INSPECTOR, correcting(repair, wrong))


def two_close_a_hold(people: People) -> tuple[Repair, list[Callable[[], Any]]]:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS)
    return repair, both(
        people,
        Party.CLIENT,
        lambda actor: close_point(
            repair_id=repair.pk,
            position=THICKNESS,
            manner=Manner.RELEASED,
            note="",
            actor=actor,
            at=NOON,
            act_id=uuid4(),
        ),
    )


def one_returns_and_one_releases(people: People) -> tuple[Repair, list[Callable[[], Any]]]:
    repair = repair_at(people, Status.APPROVED)
    second = colleague(people, Party.CLIENT)
    release, back = releasing(people, repair), returning(repair)
    return repair, [lambda: back(second), lambda: release(people.clara)]


def one_approves_and_one_corrects(people: People) -> tuple[Repair, list[Callable[[], Any]]]:
    """Both are open before, and the approval of a record that was corrected meanwhile is not."""
    repair = repair_at(people, Status.WITH_CLIENT)
    wrong = Inspection.objects.get(step__key="thickness").pk
    seen = record_digest(repair)
    correct = correcting(repair, wrong)

    def approve() -> Entry:
        return sign(
            repair_id=repair.pk,
            party=Party.CLIENT,
            password=PASSWORD,
            seen_digest=seen,
            actor=people.clara,
            at=NOON,
            act_id=uuid4(),
        )

    return repair, [approve, lambda: correct(people.ines)]


EXCLUSIVE: tuple[Race, ...] = (
    two_release,
    two_sign,
    two_correct,
    two_close_a_hold,
    one_returns_and_one_releases,
)
"""Races of which exactly one can succeed."""


WHERE_DECIDED = "qc.workflow.deed.decide"
"""Where an act has decided, on what it has read, and is about to write."""


def run(race: Race, people: People) -> tuple[Repair, list[Any]]:
    """What the slower and the quicker gave: an entry, or the exception that the act ended with."""
    repair, (slow, quick) = race(people)
    return repair, overtaken(WHERE_DECIDED, slow, quick)


def needs_threads() -> None:
    if connection.vendor != "postgresql":
        pytest.skip("threads share no database in memory")


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("race", EXCLUSIVE, ids=lambda race: race.__name__)
def test_exactly_one_of_two_succeeds_and_the_other_is_told(people: People, race: Race) -> None:
    needs_threads()
    repair, (slow, quick) = run(race, people)

    assert isinstance(slow, Entry), slow
    assert isinstance(quick, Refused), quick
    assert quick.reasons
    assert first_broken(repair_chain(repair.pk)) is None


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("unchecked_ledger")
@pytest.mark.parametrize("race", EXCLUSIVE, ids=lambda race: race.__name__)
def test_without_the_lock_the_quicker_is_through_and_the_slower_not_told(
    people: People, race: Race
) -> None:
    needs_threads()
    with no_locks():
        _, (slow, quick) = run(race, people)

    # It goes on from what was true before, or a constraint of the database stops it.
    assert isinstance(quick, Entry), quick
    assert not isinstance(slow, Refused), slow


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("unchecked_ledger")
@pytest.mark.parametrize("locked", [True, False])
def test_only_the_lock_keeps_an_approval_from_a_record_corrected_meanwhile(
    people: People, locked: bool
) -> None:
    needs_threads()
    repair, works = one_approves_and_one_corrects(people)
    # Held where the approval has compared the record with the one that was read.
    with nullcontext() if locked else no_locks():
        results = overtaken("qc.workflow.signing.stale_signatures", *works)

    repair.refresh_from_db()
    corrected_last = repair.stands_at is Status.ON_SITE and isinstance(results[1], Entry)
    assert corrected_last == locked, (repair.status, results)


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("locked", [True, False])
def test_of_two_who_take_the_same_number_the_second_is_told(people: People, locked: bool) -> None:
    needs_threads()
    outline = RepairOutline(
        number="R-1", title="Wrap", asset_tag="6-CW-118", defect="Leak", template="composite_wrap"
    )

    def start() -> Entry:
        return start_repair(
            project_id=people.project.pk,
            outline=outline,
            actor=people.carl,
            at=NOON,
            act_id=uuid4(),
        )

    with nullcontext() if locked else no_locks():
        slow, quick = overtaken("qc.workflow.plans._objections", start, start)

    assert isinstance(slow if locked else quick, Entry)
    assert isinstance(quick if locked else slow, Refused if locked else IntegrityError)


@pytest.mark.django_db(transaction=True)
def test_one_form_sent_twice_at_once_is_done_once(people: People) -> None:
    needs_threads()
    repair = repair_at(people, Status.APPROVED)
    act_id = uuid4()
    snapshot: dict[str, object] = {"record": record_document(repair)}

    def release() -> Entry:
        return release_certificate(
            repair_id=repair.pk,
            number="QR-R-014",
            check_code=new_check_code(),
            snapshot=snapshot,
            pdf=b"%PDF-1.7",
            actor=people.clara,
            at=NOON,
            act_id=act_id,
        )

    first, second = overtaken(WHERE_DECIDED, release, release)

    assert first == second
    assert Certificate.objects.count() == 1
    assert head_of(repair_chain(repair.pk))[0] == first.position


def test_processes_on_one_sqlite_file_take_turns(tmp_path: Path) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("the processes share an SQLite file")
    crew = Crew(tmp_path)
    repair_id = crew.once("finish_a_repair")

    for kind, who in (
        ("correct", ("ines", "second-inspector")),
        ("sign", ("ines", "second-inspector")),
        ("return", ("carl", "second-contractor")),
        ("sign", ("ines", "second-inspector")),
        ("sign", ("carl", "second-contractor")),
        ("sign", ("clara", "second-client")),
        ("release", ("clara", "second-client")),
    ):
        said = crew.at_once([("contend", kind, repair_id, name) for name in who])
        assert sorted(line.split(":")[0] for line in said) == ["Done", "Refused"], (kind, said)
        if kind == "correct":
            crew.once("release_the_hold", repair_id)

    assert crew.once("found") == "[]"
