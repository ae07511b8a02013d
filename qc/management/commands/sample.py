"""`manage.py sample [FILE]`: how many places to measure, and where, proposed from JSON."""

from typing import Any

from qc.engine.sampling import FIELDS, propose_case
from qc.management.json_door import JsonCommand, answers, read


class Command(JsonCommand):
    """Proposes the places of one request or a list of them given as JSON."""

    help = (
        "Proposes how many places to measure and where (JSON from FILE or standard input): an "
        f"object, or a list of them, with {', '.join(field.name for field in FIELDS)}."
    )

    def reply(self, options: dict[str, Any]) -> Any:
        return answers(read(options["file"]), propose_case, "sampling")
