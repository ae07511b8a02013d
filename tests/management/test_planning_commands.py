"""`manage.py take_off` and `manage.py sample`: JSON in, JSON out, one line for anything else."""

import io
import json
import sys
from typing import Any

import pytest
from django.core.management import execute_from_command_line

from qc.engine.sampling import propose_case
from qc.engine.take_off import take_off_case

COATING = {
    "take_off": "coating",
    "given": {"area": "100 m2", "dry_film": "100 um", "volume_solids": "50 %"},
}
SAMPLE = {"rule": "iso19840", "seed": "R-0001/7", "length": "2 m", "diameter": "323.9 mm"}
GOOD = {"take_off": COATING, "sample": SAMPLE}


@pytest.fixture
def door(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Any:
    """The command as a person at the terminal meets it: (exit status, output, error)."""

    def run(command: str, given: Any) -> tuple[int, str, str]:
        stdin = io.TextIOWrapper(io.BytesIO(json.dumps(given).encode()))
        monkeypatch.setattr(sys, "stdin", stdin)
        status = 0
        try:
            execute_from_command_line(["manage.py", command])
        except SystemExit as left:
            status = int(left.code or 0)
        return (status, *capsys.readouterr())

    return run


def test_a_take_off_is_answered_with_an_estimate(door: Any) -> None:
    status, out, err = door("take_off", COATING)

    assert (status, err) == (0, "")
    assert json.loads(out) == take_off_case(COATING)
    assert json.loads(out)["estimate"] is True


def test_a_request_for_a_sample_is_answered_with_places(door: Any) -> None:
    status, out, err = door("sample", SAMPLE)

    assert (status, err) == (0, "")
    assert json.loads(out) == propose_case(SAMPLE)


@pytest.mark.parametrize("command", GOOD)
def test_a_list_is_answered_in_order(door: Any, command: str) -> None:
    status, out, _ = door(command, [GOOD[command]] * 2)

    assert status == 0
    assert len(json.loads(out)) == 2


@pytest.mark.parametrize(
    ("command", "given", "said"),
    [
        ("take_off", {}, "take_off.take_off: must be one of: filler, coating, wrap, mixes"),
        ("take_off", COATING | {"given": {}}, "given.area: is required"),
        ("take_off", [COATING, COATING | {"given": {}}], "take_off[1].given.area: is required"),
        ("sample", SAMPLE | {"seed": ""}, "sampling.seed: is required"),
        ("sample", [SAMPLE, {}], "sampling[1].rule: is required"),
        ("sample", "pa2", "sampling: 'pa2' is not an object"),
    ],
)
def test_a_bad_request_is_one_line_and_status_2(
    door: Any, command: str, given: Any, said: str
) -> None:
    status, out, err = door(command, given)

    assert (status, out) == (2, "")
    assert err.startswith(said)
    assert err.count("\n") == 1
