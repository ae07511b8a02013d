"""The surface that places are proposed on: a rectangle, or a pipe unrolled into one."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from qc.engine.formulas.circle import circumference
from qc.engine.quantities import Quantity
from qc.engine.sampling.strata import Patch

_US_UNITS = ("mil", "in", "ft")
_MINUTES_OF_A_DIAL = 12 * 60


@dataclass(frozen=True)
class Surface:
    """`length` along and `breadth` across: upwards, or round a pipe from the top.

    Places lie on a grid of millimetres, or of hundredths of a foot where the length is in feet,
    inches or mils.
    """

    length: Quantity
    breadth: Quantity
    is_pipe: bool = False

    @property
    def is_us(self) -> bool:
        """Whether the length is in one of the US units, which choose between round figures."""
        return self.length.unit in _US_UNITS

    @property
    def unit(self) -> str:
        """The unit of the proposed distances."""
        return "ft" if self.is_us else "m"

    @property
    def step(self) -> Decimal:
        """The side of a cell of the grid, in `unit`."""
        return Decimal("0.01") if self.is_us else Decimal("0.001")

    @property
    def area(self) -> Quantity:
        """Length times breadth, in m2 or ft2."""
        sides = (Fraction(side.magnitude_in(self.unit)) for side in (self.length, self.breadth))
        return Quantity(next(sides) * next(sides), f"{self.unit}2")

    @property
    def patch(self) -> Patch:
        """The whole cells of the surface."""
        return Patch(0, 0, self._cells(self.length), self._cells(self.breadth))

    def cells_in(self, area: Quantity) -> int:
        """How many cells make up `area`."""
        one = Fraction(self.step) ** 2
        return int(Fraction(area.magnitude_in(f"{self.unit}2")) / one)

    def cells_along(self, distance: Quantity) -> int:
        """The least number of cells that are not shorter than `distance`."""
        return -int(-Fraction(distance.magnitude_in(self.unit)) / Fraction(self.step) // 1)

    def distance(self, cells: int) -> Quantity:
        """The distance from the edge to the corner of a cell."""
        return Quantity(cells * self.step, self.unit)

    def clock(self, cells: int) -> str:
        """The position on the dial for an arc from the top, as "4:30"; "" off a pipe."""
        if not self.is_pipe:
            return ""
        minutes = cells * _MINUTES_OF_A_DIAL // self.patch.height
        return f"{minutes // 60 or 12}:{minutes % 60:02}"

    def _cells(self, side: Quantity) -> int:
        return int(Fraction(side.magnitude_in(self.unit)) / Fraction(self.step))


def pipe(length: Quantity, diameter: Quantity) -> Surface:
    """The outside of a pipe; `across` runs from the top, clockwise as one looks along the pipe."""
    return Surface(length, circumference(diameter), is_pipe=True)
