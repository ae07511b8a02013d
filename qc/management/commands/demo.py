"""`manage.py demo`: makes the demo's record, prints the log-ins and serves it."""

import sys
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandParser
from django.db import connections

from qc.evidence.store import fetch
from qc.management.demo.cast import PASSWORD, log_ins
from qc.management.demo.folder import Folder, Refusal, remove_leftovers, writable
from qc.management.demo.serving import HOST, Server, check_free, port_from
from qc.management.one_line import OneLineCommand
from qc.records.models import Certificate


class Command(OneLineCommand):
    """Refusals are one line and status 2; Ctrl-C ends it without a word."""

    help = (
        "Plays seven repairs of an invented terminal into an SQLite database under var/ (or the "
        "folder that QC_VAR names) and serves it on this machine. What is there is kept. "
        "It keeps to that file: with DATABASE_URL set, or another record there, it refuses."
    )
    refusals = (Refusal,)

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", default="8000", help="serve on this port (8000)")
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")
        parser.add_argument(
            "--certificate", metavar="DIR", help="write the released certificate's PDF there"
        )
        parser.add_argument(
            "--fresh", action="store_true", help="start over; asks before what is there is lost"
        )
        parser.add_argument("--yes", action="store_true", help="do not ask")

    def answer(self, options: dict[str, Any]) -> int:
        """Play, write and serve as the options ask; 130 where Ctrl-C ended it."""
        try:
            self._run(options)
        except KeyboardInterrupt:
            return 130
        return 0

    def _run(self, options: dict[str, Any]) -> None:
        port = port_from(options["port"])
        folder = Folder.of(settings)
        pdf_folder = writable(Path(options["certificate"])) if options["certificate"] else None
        if not options["no_serve"]:
            check_free(port)
        played = folder.is_played
        if played and options["fresh"] and not options["yes"]:
            self._confirm()
        self._prepare(folder, anew=options["fresh"] or not played)
        if pdf_folder is not None:
            self._write_certificates(pdf_folder)
        connections.close_all()
        if options["no_serve"]:
            self._say_log_ins()
        else:
            Server(port, lambda: self._announce(port)).run()

    def _confirm(self) -> None:
        if not sys.stdin.isatty():
            raise Refusal("--fresh loses what was recorded in the demo; add --yes to do it anyway.")
        answer = input("Start over? What was recorded in the demo is lost. [y/N] ")
        if answer.strip().casefold() not in ("y", "yes"):
            raise Refusal("Nothing was changed.")

    def _prepare(self, folder: Folder, anew: bool) -> None:
        remove_leftovers(folder.var)
        if anew:
            folder.play(settings.SECRET_KEY, self.say)
        else:
            self.say("The demo is there already; --fresh starts it over.")
            call_command("migrate", verbosity=0)

    def _write_certificates(self, folder: Path) -> None:
        for certificate in Certificate.objects.select_related("repair"):
            plain = "".join(c if c.isalnum() or c in "-._" else "-" for c in certificate.number)
            target = folder / f"{plain}.pdf"
            try:
                target.write_bytes(fetch(certificate.pdf_digest))
            except OSError as failure:
                raise Refusal(f"Cannot write {target}: {failure.strerror}.") from None
            self.say(f"Certificate of {certificate.repair.number}: {target}")

    def _announce(self, port: int) -> None:
        self._say_log_ins()
        self.say(f"Open http://{HOST}:{port}/   (Ctrl-C ends it)")

    def _say_log_ins(self) -> None:
        self.say("")
        for name, party, printed in log_ins():
            self.say(f"  {name:<6} {party:<11} {printed}")
        self.say(f"  Password of all three, for the demo only: {PASSWORD}")
        self.say("")
