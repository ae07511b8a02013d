"""`manage.py judge`: verdicts in the shape of the cases, and one line for anything else."""

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.management import execute_from_command_line

from qc.engine.characteristics import CHARACTERISTICS
from qc.management import json_door
from qc.management.commands.judge import judge_json
from qc.management.json_door import Unreadable

ROOT = Path(__file__).resolve().parents[2]
DRY = {"air": "25 degC", "humidity": "60 %", "steel": ["25 degC"]}
CASE = {"characteristic": "ambient", "criteria": {"margin_min": "3 degC"}, "readings": [DRY]}
COLD = CASE | {"readings": [DRY | {"steel": ["17 degC"]}]}


class Door:
    """The command as a person at the terminal meets it."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self._monkeypatch = monkeypatch
        self._capsys = capsys

    def __call__(self, *arguments: str, given: bytes = b"") -> tuple[int, str, str]:
        """(exit status, standard output, standard error)."""
        self._monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given)))
        status = 0
        try:
            execute_from_command_line(["manage.py", "judge", *arguments])
        except SystemExit as left:
            status = int(left.code or 0)
        out, err = self._capsys.readouterr()
        return status, out, err


@pytest.fixture
def door(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Door:
    return Door(monkeypatch, capsys)


def encoded(value: Any) -> bytes:
    return json.dumps(value).encode()


def assert_refused(answer: tuple[int, str, str], said: str) -> None:
    status, out, err = answer
    assert (status, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1
    assert err.endswith("\n")


def test_one_case_gives_one_verdict(door: Door) -> None:
    status, out, err = door(given=encoded(CASE))

    assert (status, err) == (0, "")
    assert json.loads(out)["outcome"] == "conforms"


def test_a_list_of_cases_gives_the_list_of_verdicts_in_order(door: Door) -> None:
    status, out, _ = door(given=encoded([CASE, COLD, CASE]))

    assert status == 0
    assert [verdict["outcome"] for verdict in json.loads(out)] == [
        "conforms",
        "does_not_conform",
        "conforms",
    ]
    assert json.loads(door(given=b"[]")[1]) == []


def test_a_case_may_come_from_a_file(door: Door, tmp_path: Path) -> None:
    file = tmp_path / "case.json"
    file.write_bytes(b"\xef\xbb\xbf" + encoded(COLD))

    status, out, _ = door(str(file))

    assert status == 0
    assert json.loads(out)["outcome"] == "does_not_conform"
    assert door("-", given=encoded(COLD))[1] == out


def test_the_verdict_is_indented_and_in_plain_characters(door: Door) -> None:
    out = door(given=encoded(CASE))[1]

    assert out.startswith('{\n  "outcome": "conforms",\n')
    assert "at least 3 °C" in out


@pytest.mark.parametrize("key", CHARACTERISTICS)
def test_the_schema_of_every_characteristic_is_printed(door: Door, key: str) -> None:
    status, out, _ = door("--schema", key)

    assert status == 0
    assert json.loads(out) == CHARACTERISTICS[key].schema()


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (b"", "the input is not JSON: Expecting value, line 1, column 1"),
        (b"dry", "the input is not JSON"),
        (b"{}", "case.characteristic: must be one of: ambient"),
        (b'{"a": 1,}', "the input is not JSON"),
        (b"{} {}", "the input is not JSON: Extra data"),
        (b'"ambient"', "case: is not an object"),
        (b"NaN", "NaN is not a number"),
        (b'{"a": [Infinity]}', "Infinity is not a number"),
        (b'{"a": 1, "a": 2}', "'a' stands twice in one object"),
        (b"\xff\xfe", "the input is not UTF-8"),
        (b'"\\ud800"', "half of a surrogate pair"),
        (b"9" * 5000, "a number of too many digits"),
        (b"[" * 100_000, "nested too deeply"),
        (b'{"a":' * 100_000, "nested too deeply"),
        (b'{"characteristic": "x\\n\\u001b[31m"}', "case.characteristic: 'x\\n\\x1b[31m'"),
        (b'{"two\\nlines": 1}', "case.two lines: unknown"),
    ],
)
def test_what_is_no_case_is_refused_in_one_line(door: Door, given: bytes, said: str) -> None:
    assert_refused(door(given=given), said)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"characteristic": "colour"}, "case.characteristic: 'colour' is not one of"),
        ({"criteria": {"margin_min": 3}}, "criteria.margin_min: 3 is not a text such as"),
        ({"criteria": {"margin_min": 3.5}}, "criteria.margin_min: 3.5 is not a text such as"),
        ({"criteria": {"margin": "3 degC"}}, "criteria.margin: unknown; known here"),
        ({"criteria": {"readings_min": 1.5}}, "criteria.readings_min: 1.5 is not a number in"),
        ({"readings": [DRY, DRY | {"air": "warm"}]}, "readings[1].air: 'warm' is not a number"),
        ({"readings": [DRY | {"air": {"a": [1]}}]}, "readings[0].air: an object is not a text"),
        ({"readings": [DRY | {"steel": ["1 degC", None]}]}, "readings[0].steel[1]: null is not"),
    ],
)
def test_a_bad_value_is_refused_by_its_field(
    door: Door, changed: dict[str, Any], said: str
) -> None:
    assert_refused(door(given=encoded(CASE | changed)), said)


def test_a_whole_number_needs_no_quotes(door: Door) -> None:
    criteria = {"margin_min": "3 degC", "readings_min": 1}

    assert door(given=encoded(CASE | {"criteria": criteria}))[0] == 0


def test_a_refusal_in_a_list_names_the_case_and_prints_no_verdict(door: Door) -> None:
    wrong = CASE | {"readings": [DRY | {"air": "warm"}]}

    assert_refused(door(given=encoded([CASE, wrong])), "case[1].readings[0].air: 'warm'")
    assert_refused(door(given=encoded([CASE, 7])), "case[1]: is not an object")
    unnamed: dict[str, Any] = {"readings": []}
    assert_refused(door(given=encoded([unnamed])), "case[0].characteristic: must be one of")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("no-such-file.json",), "no-such-file.json: No such file or directory"),
        ((str(ROOT),), "Is a directory"),
        (("a\0b",), "embedded null byte"),
        (("--schema", "colour"), "--schema.characteristic: 'colour' is not one of: ambient"),
        (("--schema", "ambient", "case.json"), "not both"),
        (("--schema",), "expected one argument"),
        (("--colour",), "unrecognized arguments: --colour"),
        (("one.json", "two.json"), "unrecognized arguments: two.json"),
    ],
)
def test_bad_arguments_are_refused_in_one_line(
    door: Door, arguments: tuple[str, ...], said: str
) -> None:
    assert_refused(door(*arguments), said)


def test_too_large_an_input_is_refused(door: Door, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(json_door, "LARGEST_INPUT", 1024 * 1024)

    assert_refused(door(given=b" " * (1024 * 1024 + 1)), "the input is larger than 1 MB")


def test_a_long_refusal_is_cut(door: Door) -> None:
    answer = door(given=encoded({"x" * 10_000: 1}))

    assert_refused(answer, "case.xxx")
    assert len(answer[2]) < 500


def test_depth_below_the_parsers_own_limit_is_refused_too() -> None:
    deep = b"[" * 900 + b"]" * 900
    with pytest.raises((Unreadable, ValueError)):
        judge_json(deep)
    nested = encoded(CASE)[:-1] + b', "verdict": ' + deep + b"}"
    with pytest.raises(ValueError, match="unknown|nested"):
        judge_json(nested)


def test_the_command_works_from_the_shell() -> None:
    command = [sys.executable, "manage.py", "judge"]
    good, bad = (
        subprocess.run(command, input=given, capture_output=True, cwd=ROOT, check=False)
        for given in (encoded(CASE), encoded(CASE | {"readings": 1}))
    )

    assert (good.returncode, good.stderr) == (0, b"")
    assert json.loads(good.stdout)["outcome"] == "conforms"
    assert (bad.returncode, bad.stdout) == (2, b"")
    assert bad.stderr.decode().splitlines() == ["readings: is not a list of readings"]
