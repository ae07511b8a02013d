"""The readings of a series as a table for paper: numbered, and no wider or longer than need be."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from qc.certificate.site import minus
from qc.engine.wording import Column, Sheet

_PAGE = 120
"""About how many signs of the table's type fit side by side on a page."""
_GAP = 3
_NUMBER = 3
_WIDEST = 70
_DAY = len("12 May 2026")
_FOLD_FROM = 12
"""Fewer rows than this stand one below the other."""
_FOLD_MOST = 6
_CROWDED = 8
"""So many columns are hard to read."""
_ANSWERS = ("yes", "no")

_OUTCOME = 20
_SHORT_LIST = 14
"""A list of figures no longer than this stands to the right, as a figure does."""


@dataclass(frozen=True)
class Cell:
    """A printed value; `numeric` ones stand to the right."""

    text: str
    numeric: bool


@dataclass(frozen=True)
class Row:
    """One reading: its number in the series, its values, and the outcome when it came in."""

    number: int
    cells: tuple[Cell, ...]
    outcome: str


@dataclass(frozen=True)
class Grid:
    """A table of readings. `lines` hold one row, or `fold` rows side by side where they are narrow.

    `shared` is (label, value) of what is the same for every reading; `signs` is how many signs
    wide each column is, the first being that of the numbers and, where they are shown, the last
    that of the outcomes.
    """

    columns: tuple[Column, ...]
    lines: tuple[tuple[Row, ...], ...]
    shared: tuple[tuple[str, str], ...]
    signs: tuple[int, ...]
    shows_outcomes: bool

    @property
    def is_crowded(self) -> bool:
        """True where the columns only fit with less air between them."""
        return sum(self.signs) > _PAGE

    @property
    def count(self) -> int:
        """How many readings it holds."""
        return sum(len(line) for line in self.lines)

    @property
    def folds(self) -> range:
        """How often the columns stand side by side."""
        return range(len(self.lines[0]) if self.lines else 1)

    @property
    def width(self) -> int:
        """The width of the table, in per cent of the page."""
        return min(100, round(100 * sum(self.signs) * len(self.folds) / _PAGE))

    @property
    def shares(self) -> tuple[str, ...]:
        """The width of each column, in per cent of the table."""
        total = sum(self.signs) * len(self.folds)
        return tuple(f"{100 * signs / total:.2f}" for signs in self.signs)

    @property
    def gaps(self) -> range:
        """The places left empty at the end of the last line."""
        return range(len(self.folds) - (len(self.lines[-1]) if self.lines else 0))


def grid_of(
    sheet: Sheet,
    outcomes: Sequence[str],
    first: Sequence[str] = (),
    shows_outcomes: bool = False,
    numbers: Sequence[int] = (),
) -> Grid:
    """The grid of a sheet, the columns named `first` before the others.

    `outcomes` has one for each row; they are a column of their own if `shows_outcomes`. `numbers`
    are those of the rows in their series, from 1 where none are given.
    """
    sheet = _ordered(sheet, first)
    shared = tuple(_shared(sheet))
    kept = [i for i, column in enumerate(sheet.columns) if column.label not in dict(shared)]
    columns = tuple(_to_the_right(sheet, i) for i in kept)
    rows = [
        _row(number, [texts[i] for i in kept], columns, outcome)
        for number, texts, outcome in zip(
            numbers or range(1, len(sheet.rows) + 1), sheet.rows, outcomes, strict=True
        )
    ]
    others = [max(_NUMBER, len(str(len(rows)))) + _GAP + 1, *([_OUTCOME] if shows_outcomes else [])]
    signs = (others[0], *_signs(columns, rows, _PAGE - sum(others)), *others[1:])
    fold = _fold(sum(signs), len(rows))
    lines = tuple(tuple(rows[start : start + fold]) for start in range(0, len(rows), fold))
    return Grid(
        columns=columns, lines=lines, shared=shared, signs=signs, shows_outcomes=shows_outcomes
    )


def parted(sheet: Sheet, keys: Sequence[str]) -> Iterator[tuple[tuple[int, ...], Sheet]]:
    """The rows that share a key, by place, as sheets with the columns that these rows fill.

    A computed column is left out where every row of the part carries the entered one.
    """
    for key in dict.fromkeys(keys):
        places = tuple(place for place, other in enumerate(keys) if other == key)
        rows = [sheet.rows[place] for place in places]
        filled = [i for i in range(len(sheet.columns)) if any(row[i] for row in rows)]
        again = {f"computed_{sheet.columns[i].name}" for i in filled if all(r[i] for r in rows)}
        kept = [i for i in filled if sheet.columns[i].name not in again]
        yield (
            places,
            Sheet(
                columns=tuple(sheet.columns[i] for i in kept),
                rows=tuple(tuple(row[i] for i in kept) for row in rows),
            ),
        )


def _row(number: int, texts: Sequence[str], columns: Sequence[Column], outcome: str) -> Row:
    cells = zip(texts, columns, strict=True)
    return Row(number, tuple(Cell(minus(text), c.numeric) for text, c in cells), outcome)


def _to_the_right(sheet: Sheet, place: int) -> Column:
    """The column, numeric also where it holds short lists of figures in one unit."""
    column = sheet.columns[place]
    longest = max(len(row[place]) for row in sheet.rows)
    short_list = bool(column.unit) and longest <= _SHORT_LIST
    return replace(column, numeric=column.numeric or short_list)


def _ordered(sheet: Sheet, first: Sequence[str]) -> Sheet:
    places = {name: place for place, name in enumerate(first)}
    order = sorted(
        range(len(sheet.columns)), key=lambda i: places.get(sheet.columns[i].name, len(places))
    )
    return replace(
        sheet,
        columns=tuple(sheet.columns[i] for i in order),
        rows=tuple(tuple(row[i] for i in order) for row in sheet.rows),
    )


def _shared(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """What need not be repeated in every row, nor crowd a single one. The first column stays."""
    for i, column in enumerate(sheet.columns[1:], start=1):
        values = {row[i] for row in sheet.rows}
        if len(values) != 1 or column.numeric or column.unit:
            continue
        value = values.pop()
        if len(sheet.rows) > 1 or (len(sheet.columns) >= _CROWDED and value in _ANSWERS):
            yield column.label, value


def _signs(columns: Sequence[Column], rows: Sequence[Row], room: int) -> list[int]:
    """How wide each column is, so that all fit in `room` and no heading breaks inside a word."""
    wanted = [_wanted(column, i, rows) for i, column in enumerate(columns)]
    least = [_least(column, i, rows) for i, column in enumerate(columns)]
    slack = sum(wanted) - sum(least)
    if sum(wanted) <= room or slack == 0:
        return wanted
    share = max(0, room - sum(least)) / slack
    return [low + int((wish - low) * share) for wish, low in zip(wanted, least, strict=True)]


def _wanted(column: Column, place: int, rows: Sequence[Row]) -> int:
    """The longest value, or the heading over two lines."""
    heading = max(_word(column), _GAP + (len(column.heading) + 1) // 2)
    return max(_GAP + min(_WIDEST, _longest(place, rows)), heading)


def _least(column: Column, place: int, rows: Sequence[Row]) -> int:
    """What keeps the words of the heading whole, and a figure or the day of a moment."""
    return max(_word(column), _GAP + min(_DAY, _longest(place, rows)))


def _longest(place: int, rows: Sequence[Row]) -> int:
    """The length of the longest value, but for one in twenty, which may wrap."""
    lengths = sorted(len(row.cells[place].text) for row in rows)
    return lengths[len(lengths) - 1 - len(lengths) // 20] if lengths else 0


def _word(column: Column) -> int:
    """The longest word of the heading; the unit stays with the last."""
    *words, last = column.label.split()
    if column.unit:
        last += f", {column.unit}"
    return _GAP + max(len(word) for word in (*words, last))


def _fold(signs: int, rows: int) -> int:
    """How many rows fit side by side."""
    if rows < _FOLD_FROM:
        return 1
    return max(1, min(_FOLD_MOST, _PAGE // signs))
