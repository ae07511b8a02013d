"""What the processes of a crew do: `python -m tests.ledger.crew FUNCTION ARGUMENTS...`."""

import os
import sys
import time
from functools import partial
from pathlib import Path
from typing import Any
from uuid import uuid4

import django

django.setup()

from django.db import transaction  # noqa: E402

from qc.accounts.models import Membership, User  # noqa: E402
from qc.engine.lifecycle import Act, Refused  # noqa: E402
from qc.engine.plan import Party  # noqa: E402
from qc.ledger.chain import append, first_broken, repair_chain  # noqa: E402
from qc.ledger.rows import Scope  # noqa: E402
from qc.records.check_code import new_check_code  # noqa: E402
from qc.records.models import Inspection, Repair  # noqa: E402
from qc.workflow import (  # noqa: E402
    Manner,
    Observation,
    correct_inspection,
    release_certificate,
    return_repair,
    sign,
)
from qc.workflow.document import record_digest, record_document  # noqa: E402
from qc.workflow.verification import verify  # noqa: E402
from tests import factories  # noqa: E402
from tests.people import PASSWORD, People, project  # noqa: E402


def write(line: object) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def found() -> None:
    """What a verification finds."""
    write([(str(f.fault), f.position, f.what) for f in verify(Scope()).findings])


def append_many(repair_id: str, count: str) -> None:
    """Append entries to a chain, each in a transaction under the lock of its subject."""
    actor = User.objects.get(username="ines")
    wait_for(Path(os.environ["WAIT_FOR"]))
    for _ in range(int(count)):
        with transaction.atomic():
            Repair.objects.select_for_update().get(pk=repair_id)
            append_one(int(repair_id), actor)
    write("done")


def append_one(repair_id: int, actor: User) -> Any:
    """One entry that states nothing: what is tried here is the chain alone."""
    return append(
        chain=repair_chain(repair_id),
        act=Act.ADD_EVIDENCE,
        act_id=uuid4(),
        actor=actor,
        party=Party.INSPECTOR,
        observed_at=factories.NOON,
        recorded_at=factories.NOON,
        payload={},
    )


def plan_a_repair() -> None:
    """Make the cast and a planned repair; its id."""
    write(factories.planned_repair(cast()).pk)


def shape(repair_id: str) -> None:
    """How many entries a chain has, places and entries followed there are, and its first break."""
    chain = repair_chain(int(repair_id))
    entries = list(chain.entries())
    followed = {entry.previous_hash for entry in entries}
    write(f"{len(entries)} {entries[-1].position} {len(followed)} {first_broken(chain)}")


def finish_a_repair() -> None:
    """Make the cast, each with a colleague, and a repair that is ready to be signed; its id."""
    everybody = cast()
    for party in Party:
        colleague = User.objects.create_user(f"second-{party}", password=PASSWORD)
        Membership.objects.create(project=everybody.project, user=colleague, party=party)
    write(factories.finished_repair(everybody).pk)


def release_the_hold(repair_id: str) -> None:
    """A correction takes the client's release away; it is given again."""
    repair = Repair.objects.get(pk=repair_id)
    factories.close(people(), repair, factories.THICKNESS, Manner.RELEASED)


def contend(kind: str, repair_id: str, username: str) -> None:
    """Do one thing to a repair; `Done`, or the refusal."""
    repair, actor = Repair.objects.get(pk=repair_id), User.objects.get(username=username)
    work = WORKS[kind](repair, Membership.objects.get(user=actor).acts_for)
    if waiting_for := os.environ.get("WAIT_FOR"):
        wait_for(Path(waiting_for))
    work(repair_id=repair.pk, actor=actor, at=factories.NOON, act_id=uuid4())
    write("Done")


def correction(repair: Repair, party: Party) -> Any:
    wrong = Inspection.objects.filter(step__key="thickness").latest("pk")
    use = wrong.instrument_uses.get()
    observation = Observation(
        readings=factories.READINGS[factories.THICKNESS],
        observed_at=factories.NOON,
        instruments=[use.instrument_id],
    )
    return partial(
        correct_inspection,
        position=factories.THICKNESS,
        inspection_id=wrong.pk,
        reason="Misread",
        observation=observation,
    )


def signature(repair: Repair, party: Party) -> Any:
    return partial(sign, party=party, password=PASSWORD, seen_digest=record_digest(repair))


def release(repair: Repair, party: Party) -> Any:
    return partial(
        release_certificate,
        number="QR-1",
        check_code=new_check_code(),
        snapshot={"record": record_document(repair)},
        pdf=b"%PDF-1.7",
    )


WORKS = {
    "correct": correction,
    "sign": signature,
    "return": lambda repair, party: partial(return_repair, reason="Seen again"),
    "release": release,
}


def people() -> People:
    """The cast, as the first process of a crew made it."""
    named = {name: User.objects.get(username=name) for name in ("ines", "carl", "clara", "olu")}
    here = Membership.objects.get(user=named["ines"]).project
    elsewhere = Membership.objects.get(user=named["olu"]).project
    return People(here, **named, elsewhere=elsewhere)


def cast() -> People:
    """Make the cast."""
    users = {
        name: User.objects.create_user(name, password=PASSWORD, first_name=name.capitalize())
        for name in ("ines", "carl", "clara", "olu")
    }
    here = {users["ines"]: "inspector", users["carl"]: "contractor", users["clara"]: "client"}
    project("SQT", "Saltmarsh Quay", here)
    project("ELS", "Elsewhere", {users["olu"]: "inspector"})
    return people()


def wait_for(signal: Path) -> None:
    """Say that all is read and ready, and wait until the signal is given."""
    write("ready")
    give_up = time.monotonic() + 60
    while not signal.exists() and time.monotonic() < give_up:
        time.sleep(0.002)


def main() -> None:
    function, *arguments = sys.argv[1:]
    try:
        globals()[function](*arguments)
    except Refused as refused:
        write(f"Refused: {refused}")


if __name__ == "__main__":
    main()
