"""What a reading of a surface profile holds, and what is computed from the readings."""

from decimal import Decimal

from qc.engine.characteristics.profile.criteria import COMPARATORS, profile
from qc.engine.fields import Field, Kind

_TAPE = ("method=replica_tape",)
_COMPARATOR = ("method=comparator", "grade", "segment_min", "segment_max")
_NUMERIC = ("min", "max")

READING = (
    Field(name="location", label="Location", kind=Kind.TEXT),
    Field(
        name="values",
        label="Readings",
        dimension=profile("values", "").dimension,
        unit="um",
        us_unit="mil",
        many=True,
        minimum=Decimal(0),
        maximum=profile("values", "").maximum,
        asked_by=_NUMERIC,
        usual_by="readings_min",
    ),
    Field(
        name="tape_grades",
        label="Tape grade of each reading",
        kind=Kind.CHOICE,
        choices=("coarse_minus", "coarse", "x_coarse", "x_coarse_plus"),
        aliases={"C": "coarse", "XC": "x_coarse"},
        many=True,
        help="a pair taken at one spot stands side by side",
        asked_by=_TAPE,
        usual_by="readings_min",
    ),
    Field(
        name="film_included",
        label="The gauge value still includes the film",
        kind=Kind.BOOLEAN,
        help="yes: 50 µm (2.0 mil) is subtracted; no: the gauge was preset to leave it out",
        asked_by=_TAPE,
    ),
    Field(
        name="grade",
        label="Grade seen",
        kind=Kind.CHOICE,
        choices=("finer_than_fine", "fine", "medium", "coarse", "coarser_than_coarse"),
        asked_by=_COMPARATOR,
    ),
    Field(
        name="segment",
        label="Roughest segment that the surface reaches",
        kind=Kind.INTEGER,
        minimum=Decimal(0),
        maximum=Decimal(4),
        help="0 where it is finer than segment 1",
        asked_by=_COMPARATOR,
    ),
    Field(
        name="comparator",
        label="Comparator used",
        kind=Kind.CHOICE,
        choices=COMPARATORS,
        aliases={"G": "grit", "S": "shot"},
        asked_by=_COMPARATOR,
    ),
    Field(
        name="preparation_grade",
        label="Preparation grade under the comparator",
        kind=Kind.CHOICE,
        choices=("Sa 2.5", "Sa 3", "other"),
        labels={"Sa 2.5": "Sa 2½"},
        asked_by=_COMPARATOR,
    ),
    Field(
        name="curved",
        label="Curved surface (small pipe)",
        kind=Kind.BOOLEAN,
        asked_by=(),
    ),
    Field(
        name="maps",
        label="Maps around location",
        kind=Kind.TEXT,
        help="for places going outwards from a location that failed (SSPC-PA 17)",
        asked_by=(),
    ),
    Field(name="direction", label="Direction going outwards", kind=Kind.TEXT, asked_by=()),
    Field(
        name="surface_ends",
        label="The surface ends here",
        kind=Kind.BOOLEAN,
        help="without a value: there is no room for a location in that direction",
        asked_by=(),
    ),
)

COMPUTED = (
    profile("location_values", "Value of the location", per_reading=True),
    profile("mean", "Mean of locations"),
    Field(name="grades", label="Grade of the location", kind=Kind.TEXT, per_reading=True),
)
