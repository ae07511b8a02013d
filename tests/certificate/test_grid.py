"""Tables of readings on paper: ordered, not repeated, folded, and never wider than the page."""

from collections.abc import Sequence

from qc.certificate.grid import Grid, grid_of, parted
from qc.engine.characteristics.ambient import AMBIENT
from qc.engine.wording import Column, Sheet


def _column(name: str, label: str, unit: str = "", numeric: bool = False) -> Column:
    return Column(name=name, label=label, unit=unit, numeric=numeric)


def _grid(
    columns: list[Column],
    rows: Sequence[tuple[str, ...]],
    first: Sequence[str] = (),
    shows_outcomes: bool = False,
) -> Grid:
    sheet = Sheet(columns=tuple(columns), rows=tuple(rows))
    return grid_of(sheet, ["conforms"] * len(rows), first, shows_outcomes)


AMBIENT_TABLE = (AMBIENT.columns, AMBIENT.spread_over_work)
VALUE = _column("values", "Readings", "µm")
PLACE = _column("location", "Location")


def test_what_is_the_same_for_all_readings_is_said_once() -> None:
    answered = _column("degreased", "Degreased")

    grid = _grid([PLACE, answered], [("north", "yes"), ("south", "yes")])

    assert [column.name for column in grid.columns] == ["location"]
    assert grid.shared == (("Degreased", "yes"),)
    assert grid.count == 2


def test_what_differs_for_one_reading_stays_in_the_table() -> None:
    answered = _column("degreased", "Degreased")

    grid = _grid([PLACE, answered], [("north", "yes"), ("south", "")])

    assert grid.shared == ()
    assert [cell.text for cell in grid.lines[1][0].cells] == ["south", ""]


def test_a_figure_stays_in_the_table_even_if_it_never_changes() -> None:
    grid = _grid([PLACE, VALUE], [("north", "50"), ("south", "50")])

    assert [column.name for column in grid.columns] == ["location", "values"]


def test_short_lists_of_figures_stand_to_the_right_and_long_ones_do_not() -> None:
    short = _grid([VALUE], [("44, 47",), ("51, 57",)])
    long = _grid([VALUE], [("44, 47, 51, 57, 44, 47",)])

    assert short.columns[0].numeric
    assert not long.columns[0].numeric


def test_a_negative_figure_has_a_minus_sign() -> None:
    grid = _grid([VALUE], [("-3.5",)])

    assert grid.lines[0][0].cells[0].text == "\N{MINUS SIGN}3.5"


def test_many_narrow_rows_stand_side_by_side_and_none_is_lost() -> None:
    grid = _grid([PLACE, VALUE], [(f"plate {n}", f"{300 + n}") for n in range(50)])

    numbers = [row.number for line in grid.lines for row in line]
    assert len(grid.folds) > 1
    assert numbers == list(range(1, 51))
    assert len(grid.lines[-1]) + len(grid.gaps) == len(grid.folds)
    assert grid.width <= 100


def test_few_rows_stand_one_below_the_other() -> None:
    grid = _grid([VALUE], [(f"{n}",) for n in range(11)])

    assert len(grid.folds) == 1


def test_a_single_long_name_does_not_keep_a_table_from_folding() -> None:
    rows = [(f"plate {n}", "300") for n in range(40)] + [("x" * 200, "300")]

    assert len(_grid([PLACE, VALUE], rows).folds) > 1


def test_the_widths_of_a_table_fill_it() -> None:
    crowded = [_column(f"c{n}", f"Temperature number {n} of the steel", "°C") for n in range(9)]

    grid = _grid(crowded, [tuple("12.5" for _ in crowded)])

    assert abs(sum(map(float, grid.shares)) - 100) < 0.1
    assert grid.width <= 100


def test_ambient_readings_run_from_air_to_margin_and_show_their_outcome() -> None:
    names = ("steel", "air", "computed_margin", "moisture_visible", "computed_dew_point", "at")

    grid = _grid([_column(n, n, numeric=True) for n in names], [tuple(names)], *AMBIENT_TABLE)

    order = [column.name for column in grid.columns]
    assert order == [
        "at",
        "air",
        "computed_dew_point",
        "steel",
        "computed_margin",
        "moisture_visible",
    ]
    assert [cell.text for cell in grid.lines[0][0].cells] == order
    assert grid.shows_outcomes


def test_a_step_without_readings_has_an_empty_grid() -> None:
    grid = _grid([], [])

    assert grid.count == 0
    assert grid.columns == ()


def test_readings_of_several_kinds_stand_in_tables_of_their_own() -> None:
    part, soak = _column("part", "Part"), _column("soak", "Soaked", "s", True)
    fasteners = _column("fasteners", "Fasteners", "", True)
    rows = (("roll", "10", ""), ("band", "", "2"), ("roll", "11", ""))
    sheet = Sheet(columns=(part, soak, fasteners), rows=rows)

    (rolls, of_rolls), (bands, of_bands) = parted(sheet, ["roll", "band", "roll"])

    assert (rolls, bands) == ((0, 2), (1,))
    assert of_rolls == Sheet(columns=(part, soak), rows=(("roll", "10"), ("roll", "11")))
    assert of_bands == Sheet(columns=(part, fasteners), rows=(("band", "2"),))


def test_what_all_readings_of_a_kind_enter_is_not_computed_beside_it() -> None:
    overlap, computed = _column("overlap", "Overlap", "%"), _column("computed_overlap", "Overlap")
    rows = (("50", "50.0"), ("", "48.0"))
    sheet = Sheet(columns=(overlap, computed), rows=rows)

    (_, entered), (_, derived) = parted(sheet, ["a", "b"])

    assert entered.columns == (overlap,)
    assert derived.columns == (computed,)


def test_rows_keep_the_numbers_that_the_findings_name() -> None:
    sheet = Sheet(columns=(PLACE,), rows=(("north",), ("south",)))

    grid = grid_of(sheet, ["conforms"] * 2, numbers=[2, 5])

    assert [row.number for line in grid.lines for row in line] == [2, 5]
