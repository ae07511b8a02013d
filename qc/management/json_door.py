"""A command that takes one JSON object or a list of them, and answers in JSON.

Bad input ends with status 2 and one line on standard error that names the field.
"""

import json
import sys
from argparse import ArgumentParser
from collections.abc import Callable
from typing import Any, NoReturn

from qc.engine.fields import InvalidValue
from qc.management.one_line import OneLineCommand

LARGEST_INPUT = 64 * 1024 * 1024
"""Bytes; a day of a logger that reads every second is a tenth of it."""


class Unreadable(ValueError):
    """The input is no JSON that an object can be read from; the message says why."""


class JsonCommand(OneLineCommand):
    """Prints what `reply` returns, or its refusal in one line."""

    refusals = (InvalidValue, Unreadable)

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", metavar="FILE", help="standard input if absent")

    def reply(self, options: dict[str, Any]) -> Any:
        """The reply as JSON types; InvalidValue or Unreadable where there is none."""
        raise NotImplementedError

    def answer(self, options: dict[str, Any]) -> int:
        """Write the reply."""
        reply = self.reply(options)
        if hasattr(sys.stdout, "reconfigure"):
            sys.stdout.reconfigure(encoding="utf-8")
        self.say(json.dumps(reply, indent=2, ensure_ascii=False))
        return 0


def read(file: str | None) -> bytes:
    """What `file` holds, or standard input. Unreadable says what is wrong with it."""
    try:
        if file is None or file == "-":
            raw = sys.stdin.buffer.read(LARGEST_INPUT + 1)
        else:
            with open(file, "rb") as stream:
                raw = stream.read(LARGEST_INPUT + 1)
    except (OSError, ValueError) as failure:
        raise Unreadable(f"{file or 'standard input'}: {_reason(failure)}") from None
    if len(raw) > LARGEST_INPUT:
        raise Unreadable(f"the input is larger than {LARGEST_INPUT // 1024 // 1024} MB")
    return raw


def _reason(failure: OSError | ValueError) -> str:
    return (failure.strerror if isinstance(failure, OSError) else None) or str(failure)


def answers(raw: bytes, answer: Callable[[Any, str], Any], name: str) -> Any:
    """`answer(parsed, name)` to the object written in `raw`, or the list of answers to a list.

    Unreadable for what is no JSON; InvalidValue, with the place in a list, for bad values.
    """
    try:
        parsed = parse_json(raw)
        if isinstance(parsed, list):
            return [_in_list(one, answer, f"{name}[{i}]") for i, one in enumerate(parsed)]
        return answer(parsed, name)
    except RecursionError:
        raise Unreadable("the input is nested too deeply") from None


def _in_list(one: Any, answer: Callable[[Any, str], Any], name: str) -> Any:
    try:
        return answer(one, name)
    except InvalidValue as refusal:
        if refusal.path.startswith(name):
            raise
        raise InvalidValue(f"{name}.{refusal.path}", refusal.problem) from None


def parse_json(raw: bytes) -> Any:
    """JSON without the liberties Python takes: no NaN, no name twice, no broken characters."""
    try:
        text = raw.decode("utf-8-sig")
        parsed = json.loads(text, object_pairs_hook=_unique, parse_constant=_no_constant)
        json.dumps(parsed, ensure_ascii=False).encode("utf-8")
    except UnicodeDecodeError:
        raise Unreadable("the input is not UTF-8") from None
    except UnicodeEncodeError:
        raise Unreadable("the input holds half of a surrogate pair") from None
    except json.JSONDecodeError as failure:
        where = f"line {failure.lineno}, column {failure.colno}"
        raise Unreadable(f"the input is not JSON: {failure.msg}, {where}") from None
    except Unreadable:
        raise
    except ValueError:
        raise Unreadable("the input holds a number of too many digits") from None
    return parsed


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise Unreadable(f"{name[:60]!r} stands twice in one object")
        found[name] = value
    return found


def _no_constant(name: str) -> NoReturn:
    raise Unreadable(f"{name} is not a number")
