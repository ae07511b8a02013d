"""A case or more that conform for every characteristic, and which way each of its values is bad.

`worse` says of a field of a reading what makes it worse: 1 more, -1 less, True or False that
answer, a tuple the grades from best to worst. `stricter` says of a criterion, in the same way, what
asks for more; the names `..._min` and `..._max` say it by themselves. `counts` are the criteria
that ask for a number of readings. `in_order` is True where the rule goes by the order of readings.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

Way = int | bool | tuple[str, ...]


@dataclass(frozen=True)
class Sound:
    """One conforming case of the characteristic `key`; `about` tells it from others of the key."""

    key: str
    criteria: Mapping[str, Any]
    readings: Sequence[Mapping[str, Any]]
    worse: Mapping[str, Way]
    about: str = ""
    stricter: Mapping[str, Way] = field(default_factory=dict)
    counts: tuple[str, ...] = ("readings_min",)
    in_order: bool = False

    @property
    def case(self) -> dict[str, Any]:
        """In the case format."""
        return {
            "characteristic": self.key,
            "criteria": dict(self.criteria),
            "readings": [dict(reading) for reading in self.readings],
        }


def _day(clock: str) -> str:
    return f"2026-05-12T{clock}Z"


_GRADES = ("Sa 3", "Sa 2½", "Sa 2", "Sa 1")
_RUST = ("none", "L", "M", "H")
_PENCILS = ("9H", "2H", "H", "F", "HB", "B", "9B")
_CHART = {"16 degC": "20 hour", "21 degC": "8 hour", "27 degC": "4.75 hour"}
_LOG = [
    {"at": _day("00:00"), "temperature": "22 degC"},
    {"at": _day("08:00"), "temperature": "24 degC"},
    {"at": _day("16:00"), "temperature": "23 degC"},
]
_COAT = {"previous_end": _day("09:00"), "next_start": _day("10:00"), "temperatures": ["21 degC"]}
_MIX = {
    "mix_start": _day("10:00"),
    "mix_end": _day("10:05"),
    "first_use": _day("10:20"),
    "last_use": _day("10:50"),
    "material_temperature": "25 degC",
    "part_a": "1000 g",
    "part_b": "400 g",
}
_SPARK = {
    "method": "high_voltage",
    "standard": "NACE SP0188",
    "edition": "2024",
    "voltage": "11.18 kV",
}
_HELD = [
    {"at": _day("08:00"), "pressure": "5.7 MPa", "temperature": "15 degC", "leak": False},
    {"at": _day("08:30"), "pressure": "5.6 MPa", "leak": False},
    {"at": _day("09:00"), "pressure": "5.6 MPa", "temperature": "15 degC", "leak": False},
]
_SIDES = ({"values": ["310 um", "330 um", "305 um"]}, {"values": ["320 um", "300 um"]})

SOUND = (
    Sound(
        "ambient",
        {
            "margin_min": "3 delta_degC",
            "humidity_max": "85 %",
            "air_min": "5 degC",
            "steel_min": "5 degC",
            "readings_min": 2,
        },
        [
            {"air": "22 degC", "humidity": "60 %", "steel": ["19 degC", "21 degC"]},
            {"air": "20 degC", "humidity": "55 %", "steel": ["18 degC"]},
        ],
        {"humidity": 1, "steel": -1},
    ),
    Sound(
        "blast_air",
        {"duration_min": "1 min", "readings_min": 2},
        [
            {"at": _day("08:00"), "duration": "2 min", "oil": False, "water": False},
            {"at": _day("12:00"), "duration": "90 s", "oil": False, "water": False},
        ],
        {"duration": -1, "oil": True, "water": True},
    ),
    Sound(
        "cleanliness",
        {"required": "Sa 2½", "flash_rust_max": "L", "locations_min": 2},
        [
            {"location": "north", "achieved": "Sa 3", "rust_grade": "B", "flash_rust": "none",
             "degreased": True},
            {"location": "south", "achieved": "Sa 2½", "rust_grade": "B", "flash_rust": "L",
             "degreased": True},
        ],
        {"achieved": _GRADES, "flash_rust": _RUST},
        stricter={"required": _GRADES[::-1], "flash_rust_max": _RUST[::-1]},
        counts=("locations_min",),
    ),
    Sound(
        "profile",
        {"min": "50 um", "method": "stylus", "locations_min": 2, "readings_min": 2},
        [
            {"location": "a", "values": ["62 um", "58 um"]},
            {"location": "b", "values": ["55 um", "60 um"]},
        ],
        {"values": -1},
        about="least",
        counts=("readings_min", "locations_min"),
    ),
    Sound(
        "profile",
        {"max": "80 um", "statistic": "max", "locations_min": 1},
        [{"location": "a", "values": ["62 um", "75 um"]}, {"location": "b", "values": ["60 um"]}],
        {"values": 1},
        about="most",
        counts=("locations_min",),
    ),
    Sound(
        "salts",
        {"chloride_max": "50 mg/m2", "readings_min": 2},
        [{"location": "a", "chloride": "30 mg/m2"}, {"location": "b", "chloride": "4 ug/cm2"}],
        {"chloride": 1},
        about="ion",
    ),
    Sound(
        "salts",
        {
            "max": "50 mg/m2",
            "basis": "mixed",
            "constant": "5",
            "volume": "15 ml",
            "patch_area": "1250 mm2",
        },
        [{"blank": "2 uS/cm", "conductivity": "7 uS/cm"}],
        {"conductivity": 1},
        about="conductivity",
    ),
    Sound(
        "dust",
        {"quantity_max": 2, "size_max": 2, "readings_min": 2},
        [{"quantity": 1, "size": 2}, {"quantity": 2, "size": 1}],
        {"quantity": 1, "size": 1},
    ),
    Sound(
        "oil_grease",
        {"methods": ["visual", "cloth"]},
        [
            {"method": "visual", "contaminated": False},
            {"method": "cloth", "contaminated": False},
        ],
        {"contaminated": True},
        counts=("methods_min",),
    ),
    Sound(
        "moisture",
        {"methods": ["visual"], "readings_min": 2},
        [{"method": "visual", "moist": False}, {"method": "visual", "moist": False}],
        {"moist": True},
    ),
    Sound(
        "mixing",
        {
            "duration_min": "3 min",
            "ratio": "2.5:1",
            "ratio_basis": "weight",
            "ratio_tolerance": "5 %",
            "pot_life": {"20 degC": "120 min", "30 degC": "60 min"},
            "induction": "15 min",
            "batch_max": "2 kg",
        },
        [_MIX],
        {"last_use": 1, "material_temperature": 1},
        stricter={"ratio_tolerance": -1, "induction": 1, "pot_life": -1},
        counts=(),
    ),
    Sound(
        "thickness",
        {"rule": "iso19840", "nominal": "300 um", "share_bound": "not_more_than"},
        _SIDES, {"values": -1}, "iso19840", {"nominal": 1},
    ),
    Sound(
        "thickness",
        {"rule": "90-10", "nominal": "300 um"},
        _SIDES, {"values": -1}, "90-10", {"nominal": 1},
    ),
    Sound(
        "thickness",
        {"rule": "pa2", "min": "8 mil", "level": 4},
        [{"values": [f"{t} mil", f"{t}.5 mil", "9 mil"]} for t in (8, 9, 10, 11, 12)],
        {"values": -1},
        about="pa2",
        stricter={"level": -1},
        in_order=True,
    ),
    Sound(
        "thickness",
        {
            "rule": "minimum",
            "zones": [{"zone": "leak", "min": "10 mm"}, {"zone": "rest", "min": "5 mm"}],
            "mean_min": "6 mm",
            "flushness_max": "1 mm",
        },
        [
            {"zone": "leak", "values": ["10.5 mm", "11 mm"], "flushness": ["0.8 mm"]},
            {"zone": "rest", "values": ["7 mm", "6 mm"]},
        ],
        {"values": -1, "flushness": 1},
        about="zones",
    ),
    Sound("cure", {"table": _CHART}, _LOG, {"temperature": -1}, "table", {"table": 1}, counts=()),
    Sound(
        "cure",
        {"table": _CHART, "mode": "log", "temperature_min": "17 degC", "gap_max": "8 hour"},
        _LOG, {"temperature": -1}, "log", {"table": 1}, counts=(),
    ),
    Sound(
        "cure",
        {
            "mode": "equivalent_age",
            "activation_temperature": "5000 K",
            "reference": "20 degC",
            "age_min": "17 hour",
        },
        _LOG, {"temperature": -1}, "age", counts=(),
    ),
    Sound(
        "cure",
        {"mode": "maturity", "datum": "5 degC", "age_min": "280 degC_hour"},
        _LOG, {"temperature": -1}, "maturity", counts=(),
    ),
    Sound(
        "recoat",
        {"window_min": {"16 degC": "57 min", "21 degC": "47 min", "27 degC": "25 min"}},
        [_COAT],
        {"next_start": -1, "temperatures": -1}, "earliest", {"window_min": 1}, counts=(),
    ),
    Sound(
        "recoat",
        {"window_max": {"16 degC": "150 min", "21 degC": "116 min", "27 degC": "75 min"}},
        [_COAT, _COAT],
        {"next_start": 1, "temperatures": 1}, "latest", {"window_max": -1}, counts=(),
    ),
    Sound(
        "solvent_rub",
        {"rating_min": 4, "control_panel": True, "readings_min": 2},
        [
            {"rubs": 50, "rating": 4, "control_rating": 4},
            {"rubs": 60, "rating": 4, "control_rating": 4},
        ],
        {"rubs": -1, "rating": -1, "control_rating": 1},
    ),
    Sound(
        "degree_of_cure",
        {
            "degree_min": "90 %",
            "total_enthalpy": "320 J/g",
            "glass_transition_min": "90 degC",
            "readings_min": 2,
        },
        [
            {"residual_enthalpy": "20 J/g", "glass_transition": "95 degC"},
            {"residual_enthalpy": "30 J/g", "glass_transition": "100 degC"},
        ],
        {"residual_enthalpy": 1, "glass_transition": -1},
    ),
    Sound(
        "hardness",
        {"scale": "shore_d", "qualified_min": "84", "statistic": "median", "readings_min": 3},
        [{"values": ["78", "80"]}, {"values": ["76", "79"]}],
        {"values": -1},
        stricter={"fraction": 1},
    ),
    Sound(
        "hardness",
        {"scale": "pencil", "grade_min": "H", "readings_min": 2},
        [{"grades": ["H", "2H"]}],
        {"grades": _PENCILS},
        about="pencil",
        stricter={"grade_min": _PENCILS[::-1]},
    ),
    Sound(
        "laminate",
        {
            "free_of": ["cracks", "delamination_at_ends"],
            "confirmed": ["uniform_colour"],
            "pit_width_max": "10 mm",
            "pit_height_max": "2.5 mm",
            "wrinkle_max": "2.5 mm",
            "wrinkle_share_max": "20 %",
            "thickness_min": "6 mm",
            "length_min": "200 mm",
            "defect_max": "25 mm",
            "edge_radius_min": "5 mm",
            "readings_min": 2,
        },
        [
            {
                "tap_tested": True, "cracks": False, "delamination_at_ends": False,
                "uniform_colour": True, "pits": True, "pit_widths": ["8 mm"],
                "pit_heights": ["2 mm"], "wrinkles": True, "wrinkle_steps": ["1.2 mm"],
                "thickness": ["7 mm", "8 mm"], "length": ["210 mm"], "defect_size": ["20 mm"],
                "edge_radius": ["6 mm"],
            },
            {"tap_tested": True, "cracks": False, "thickness": ["7 mm"]},
        ],
        {
            "cracks": True, "delamination_at_ends": True, "uniform_colour": False,
            "tap_tested": False, "pit_widths": 1, "pit_heights": 1, "wrinkle_steps": 1,
            "thickness": -1, "length": -1, "defect_size": 1, "edge_radius": -1,
        },
    ),
    Sound(
        "wrap",
        {
            "pad_extent_min": "3", "backing_min": "0.3 mm", "bands_min": 2, "fasteners_min": 2,
            "band_spacing_min": "10 mm", "soak_min": "8 s", "start_offset_min": "80 mm",
            "working_time": {"20 degC": "3 min", "30 degC": "30 s"}, "overlap_min": "50 %",
            "layers_min": 8, "overlap_length_min": "70 mm", "length_min": "200 mm",
        },
        [
            {"part": "pad", "defect_size": ["10 mm", "12 mm"], "pad_size": ["40 mm", "40 mm"],
             "backing": "0.35 mm"},
            {"part": "band", "fasteners": 3, "spacing": "12 mm"},
            {"part": "band", "fasteners": 2},
            {"part": "roll", "soak": "10 s", "surface_temperature": "25 degC", "worked": "25 s",
             "start_offset": "100 mm", "overlap": "55 %"},
            {"part": "wrap", "passes": 4, "overlap_length": ["75 mm", "80 mm"],
             "length": "220 mm"},
        ],
        {
            "defect_size": 1, "pad_size": -1, "backing": -1, "fasteners": -1, "spacing": -1,
            "soak": -1, "surface_temperature": 1, "worked": 1, "start_offset": -1,
            "overlap": -1, "passes": -1, "overlap_length": -1, "length": -1,
        },
        stricter={"working_time": -1},
        counts=("bands_min",),
    ),
    Sound(
        "adhesion",
        {"min": "5 MPa", "readings_min": 2},
        [
            {"stress": "6 MPa", "fracture": [{"nature": "cohesive", "share": "100 %"}]},
            {"force": "1700 N", "dolly_diameter": "20 mm", "fracture": [{"nature": "cohesive"}]},
        ],
        {"stress": -1, "force": -1},
    ),
    Sound(
        "continuity",
        _SPARK | {"holidays_max": 1, "area": "10 m2", "dielectric_strength": "8.4 kV/mm"},
        [
            {"voltage": "11.18 kV", "holidays": 0, "area": "6 m2", "thickness": "2 mm"},
            {"voltage": "11.18 kV", "holidays": 1, "area": "5 m2", "thickness": "1.5 mm"},
        ],
        {"holidays": 1, "area": -1, "thickness": -1},
        stricter={"area": 1, "dielectric_strength": -1},
        counts=(),
    ),
    Sound(
        "pressure_test",
        {"design_pressure": "5 MPa", "drop_max": "0.2 MPa", "interval_max": "30 min"},
        _HELD,
        {"leak": True},
        about="drop",
        stricter={"factor": 1, "design_pressure": 1},
        counts=(),
    ),
    Sound(
        "pressure_test",
        {"design_pressure": "5 MPa", "hold_min": "60 min"},
        _HELD,
        {"pressure": -1},
        about="pressure",
        stricter={"design_pressure": 1},
        counts=(),
    ),
    Sound(
        "visual",
        {"items": [{"item": "Taper", "min": "50 mm"}, {"item": "Cracks", "asked": "none"}]},
        [
            {"item": "Taper", "accepted": True, "value": "55 mm", "remark": "upstream"},
            {"item": "Cracks", "accepted": True, "remark": "none seen"},
        ],
        {"value": -1, "accepted": False},
        counts=(),
    ),
)  # fmt: skip
