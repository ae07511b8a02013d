"""`manage.py take_off [FILE]`: what to bring for a repair, reckoned from JSON; estimates only."""

from typing import Any

from qc.engine.take_off import TAKE_OFFS, take_off_case
from qc.management.json_door import JsonCommand, answers, read


class Command(JsonCommand):
    """Reckons one take-off or a list of them given as JSON."""

    help = (
        "Estimates material and mixes for planning (JSON from FILE or standard input): an object "
        f'{{"take_off": ..., "given": {{...}}}} or a list; take_off is {", ".join(TAKE_OFFS)}.'
    )

    def reply(self, options: dict[str, Any]) -> Any:
        return answers(read(options["file"]), take_off_case, "take_off")
