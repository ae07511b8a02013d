"""`manage.py judge [FILE]`: one case or a list of cases in, the verdicts out, all as JSON.

Bad input ends with status 2 and one line on standard error that names the field.
"""

from argparse import ArgumentParser
from typing import Any

from qc.engine.case import characteristic_named, judge_case
from qc.management.json_door import JsonCommand, Unreadable, answers, read


class Command(JsonCommand):
    """Judges cases given as JSON, or prints the JSON Schema of a characteristic's case."""

    help = "Judges one case or a list of cases (JSON from FILE or standard input)."

    def add_arguments(self, parser: ArgumentParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--schema", metavar="NAME", help="print this characteristic's schema")

    def reply(self, options: dict[str, Any]) -> Any:
        schema = options["schema"]
        if schema is None:
            return judge_json(read(options["file"]))
        if options["file"] is not None:
            raise Unreadable("give a FILE to judge or --schema NAME, not both")
        return characteristic_named(schema, "--schema").schema()


def judge_json(raw: bytes) -> Any:
    """The verdict on the case, or the list of verdicts on the list of cases, written in `raw`.

    Unreadable for what is no JSON; InvalidValue, with the case's place in a list, for bad values.
    """
    return answers(raw, judge_case, "case")
