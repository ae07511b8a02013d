"""What is asked of a surface profile and what is read."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, decision_fields
from qc.engine.characteristics.profile.rules import assess_profile
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension

_HIGHEST = Decimal(1000)


def _profile(name: str, label: str, many: bool = False) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="um",
        us_unit="mil",
        many=many,
        minimum=Decimal(0),
        maximum=_HIGHEST,
        places=1,
    )


def _count(name: str, label: str) -> Field:
    return Field(name=name, label=label, kind=Kind.INTEGER, minimum=Decimal(1))


PROFILE = Characteristic(
    key="profile",
    title="Surface profile",
    schema_version=1,
    criteria=(
        _profile("min", "Profile, minimum"),
        _profile("max", "Profile, maximum"),
        Field(
            name="method",
            label="Method",
            kind=Kind.CHOICE,
            choices=("comparator", "depth_micrometer", "replica_tape", "stylus"),
            help="values of two methods are never compared as numbers",
        ),
        Field(
            name="edition",
            label="Standard and edition of the method",
            kind=Kind.TEXT,
        ),
        Field(
            name="statistic",
            label="Value of a location",
            kind=Kind.CHOICE,
            choices=("mean", "max"),
            labels={"mean": "mean of its readings", "max": "highest of its readings"},
            help="mean unless the plan says otherwise; editions of ASTM D4417 differ",
        ),
        _count("locations_min", "Locations, at least"),
        _count("readings_min", "Readings at each location, at least"),
        Field(
            name="overlap_rule",
            label="Second tape grade in the overlap",
            kind=Kind.BOOLEAN,
            help="on unless the plan says otherwise",
        ),
        *decision_fields(Dimension.LENGTH, "um"),
    ),
    reading=(
        Field(name="location", label="Location", kind=Kind.TEXT),
        Field(
            name="values",
            label="Readings",
            dimension=Dimension.LENGTH,
            unit="um",
            us_unit="mil",
            many=True,
            required=True,
            minimum=Decimal(0),
            maximum=_HIGHEST,
        ),
        Field(
            name="tape_grades",
            label="Tape grade of each reading",
            kind=Kind.CHOICE,
            choices=("coarse_minus", "coarse", "x_coarse", "x_coarse_plus"),
            aliases={"C": "coarse", "XC": "x_coarse"},
            many=True,
        ),
        Field(
            name="film_included",
            label="The gauge value still includes the film",
            kind=Kind.BOOLEAN,
            help="yes: 50 µm (2.0 mil) is subtracted; no: the gauge was preset to leave it out",
        ),
    ),
    computed=(
        Field(
            name="location_values",
            label="Value of the location",
            dimension=Dimension.LENGTH,
            unit="um",
            us_unit="mil",
            per_reading=True,
        ),
        Field(
            name="mean",
            label="Mean of locations",
            dimension=Dimension.LENGTH,
            unit="um",
            us_unit="mil",
        ),
    ),
    assess=assess_profile,
    ordered=(("min", "max"),),
    instruments=("comparator", "profile_gauge", "replica_tape"),
    method=(
        "Choose locations of about 15 cm by 15 cm spread over the surface, also where the tool or "
        "abrasive changed. Comparator: lay it on the clean surface, look and feel, name the grade. "
        "Depth micrometer: zero it on glass, take ten readings a location, moving it each time. "
        "Replica tape: burnish until evenly dark, measure, note whether the film of 50 µm (2 mil) "
        "is still in the figure; between 38 and 64 µm (1.5 and 2.5 mil) take the other grade at "
        "the same spot and enter the pair side by side. Stylus: five traces a location. The usual "
        "mistakes: dust under the probe, the film not subtracted, two methods mixed."
    ),
    cautions=(
        "A freshly blasted edge cuts: wear gloves.",
        "Keep clear of blasting and of dust, which may hold lead or silica.",
    ),
)
