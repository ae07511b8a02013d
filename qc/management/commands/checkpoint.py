"""`manage.py checkpoint`: takes a checkpoint over all chains, and sends it outside.

Meant to run every day. What leaves the machine proves later that nothing was cut off or rewritten.
"""

import os
from argparse import ArgumentParser
from pathlib import Path
from smtplib import SMTPException
from typing import Any

from django.core.exceptions import ValidationError
from django.core.mail import EmailMessage
from django.core.validators import validate_email
from django.utils import timezone

from qc.ledger.against import Unusable, line_of, read_kept, unlike_the_table
from qc.ledger.checkpoints import Kept, as_kept, missing_from, take
from qc.management.one_line import BadUse, OneLineCommand

OCCASION = "daily"


class Command(OneLineCommand):
    """Status 1 where the file kept outside tells of another history than the table."""

    help = (
        "Takes a checkpoint over the heads of all chains. Run it daily, and keep what it writes "
        "where the people who run this machine can't change it."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--to", metavar="FILE", help="append it, and those the file lacks, a line each"
        )
        parser.add_argument("--mail", metavar="ADDRESS", help="send it there")

    def answer(self, options: dict[str, Any]) -> int:
        target = Path(options["to"]) if options["to"] else None
        address = options["mail"]
        if address is not None:
            _check_address(address)
        kept = _kept_in(target) if target else []
        if odd := unlike_the_table(kept):
            self.say(f"{target} tells of another history: {odd}. Run verify_ledger --checkpoints.")
            return 1
        taken = as_kept(take(timezone.now(), OCCASION))
        if target is not None:
            _append(target, missing_from(kept))
        if address is not None:
            _send(address, taken)
        self.say(f"Checkpoint {taken['position']}, {len(taken['heads'])} chains: {taken['hash']}")
        return 0


def _check_address(address: str) -> None:
    try:
        validate_email(address)
    except ValidationError:
        raise BadUse(f"--mail: {address!r} is no e-mail address.") from None


def _kept_in(target: Path) -> list[Kept]:
    """What the file holds; nothing where there is none yet, if it can be made."""
    try:
        with target.open("a", encoding="utf-8"):
            return read_kept(target)
    except OSError as problem:
        raise BadUse(f"--to: {target}: {problem.strerror}.") from None
    except Unusable as problem:
        raise BadUse(f"--to: {problem}.") from None


def _append(target: Path, checkpoints: list[Kept]) -> None:
    with target.open("a", encoding="utf-8") as file:
        file.writelines(f"{line_of(checkpoint)}\n" for checkpoint in checkpoints)
        file.flush()
        os.fsync(file.fileno())


def _send(address: str, taken: Kept) -> None:
    message = EmailMessage(
        subject=f"Checkpoint {taken['position']} of the quality record",
        body=(
            f"Taken at {taken['taken_at']} over {len(taken['heads'])} chains:\n{taken['hash']}\n\n"
            "Keep the file with this message. It is what verify_ledger and verify_export.py\n"
            "take as --checkpoints, to see whether anything was cut off or rewritten since.\n"
        ),
        to=[address],
    )
    name = f"checkpoint-{taken['position']}.jsonl"
    message.attach(name, f"{line_of(taken)}\n", "application/json")
    try:
        message.send()
    except (OSError, SMTPException) as problem:
        said = f"--mail: the checkpoint is taken, and was not sent: {problem}."
        raise BadUse(said) from None
