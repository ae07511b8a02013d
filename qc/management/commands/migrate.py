"""`manage.py migrate`: Django's own, run by the role that owns the tables."""

import sys
from typing import Any

from django.core.management.commands.migrate import Command as MigrateCommand

from qc.management.one_line import BadUse, one_line
from qc.management.owner import as_owner


class Command(MigrateCommand):
    """Seals and the web role's rights are set afterwards, in the same hands."""

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            with as_owner(options["database"]):
                super().handle(*args, **options)
        except BadUse as refusal:
            self.stderr.write(one_line(str(refusal)))
            sys.exit(2)
