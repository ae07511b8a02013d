"""`python -m qc.management.demo`: plays the scenario into the empty folder that QC_VAR names.

In a process of its own, so that a run cut short leaves nothing where the demo is served from.
"""

import os
import sys
from datetime import UTC, datetime


def main() -> None:
    """Make the tables, play the scenario, mark the database as the demo's."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "qc.settings")
    import django

    django.setup()

    from django.core.management import call_command
    from django.db import connection

    from qc.management.demo.folder import APPLICATION_ID
    from qc.management.demo.scenario import play

    _say("Making the tables")
    call_command("migrate", verbosity=0)
    _say("Playing the repairs")
    play(datetime.now(UTC), _say)
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        sys.exit(130)
