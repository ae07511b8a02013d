"""The papers say what the code does."""

import re
from pathlib import Path

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.lifecycle import TRANSITIONS
from qc.engine.nonconformance import REPORT_TRANSITIONS

ROOT = Path(__file__).resolve().parents[1]
PAPER = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def drawn_under(heading: str) -> set[str]:
    """The transitions of the diagram below a heading."""
    part = PAPER.partition(f"## {heading}\n")[2].partition("\n## ")[0]
    return set(re.findall(r"^    (\w+ --> \w+: .*)$", part, flags=re.MULTILINE))


def test_the_diagram_of_a_record_is_the_table_of_transitions() -> None:
    assert drawn_under("The life of a record") == {
        f"{t.before} --> {t.after}: {t.act} ({', '.join(sorted(t.parties))})" for t in TRANSITIONS
    }


def test_the_diagram_of_a_report_is_the_table_of_its_transitions() -> None:
    assert drawn_under("The life of a nonconformance report") == {
        f"{t.before} --> {t.after}: {t.deed}"
        + (f" [{', '.join(sorted(t.of))}]" if t.of else "")
        + f" ({', '.join(t.parties)})"
        for t in REPORT_TRANSITIONS
    }


def test_every_characteristic_has_its_folder_and_its_tests() -> None:
    folders = {
        path.parent.name
        for path in (ROOT / "qc/engine/characteristics").glob("*/characteristic.py")
    }
    tests = ROOT / "tests/engine/characteristics"
    untested = [
        key
        for key in CHARACTERISTICS
        if not any((*tests.glob(f"test_{key}*.py"), *tests.glob(f"{key}/test_*.py")))
    ]

    assert folders == set(CHARACTERISTICS)
    assert not untested
