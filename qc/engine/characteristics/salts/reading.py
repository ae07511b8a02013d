"""What a test for soluble salts holds, and what is computed from it."""

from dataclasses import replace
from decimal import Decimal

from qc.engine.characteristics.salts.criteria import (
    conductivity,
    count,
    minutes,
    optional,
    patch_area,
    surface_density,
    volume,
)
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension

_BY_CONDUCTIVITY = ("max", "conductivity_max")

READING = (
    Field(name="location", label="Place", kind=Kind.TEXT),
    optional(conductivity("blank", "Conductivity of the blank"), "blank_max", *_BY_CONDUCTIVITY),
    optional(
        conductivity("conductivity", "Conductivity after the extraction", "as the meter shows it"),
        *_BY_CONDUCTIVITY,
    ),
    optional(surface_density("chloride", "Chloride"), "chloride_max"),
    optional(minutes("contact", "Time of contact"), "contact_min"),
    optional(count("pump_cycles", "Times moved to and fro", least=0), "pump_cycles_min"),
    Field(name="solution_lost", label="Water was lost: the test is void", kind=Kind.BOOLEAN),
    optional(
        Field(name="at_weld", label="At a weld", kind=Kind.BOOLEAN),
        "weld_share_min",
    ),
    optional(volume("where it is not that of the plan")),
    optional(patch_area("where it is not that of the plan")),
    optional(
        Field(
            name="temperature",
            label="Temperature of the solution",
            dimension=Dimension.TEMPERATURE,
            unit="degC",
            us_unit="degF",
            minimum=Decimal(-20),
            maximum=Decimal(100),
        )
    ),
)

COMPUTED = (
    replace(surface_density("density", "Soluble salts"), per_reading=True),
    replace(conductivity("rise", "Rise in conductivity"), per_reading=True),
    replace(surface_density("factor", "Soluble salts for 1 µS/cm"), per_reading=True, places=3),
    replace(conductivity("rise_at_limit", "Rise at the limit"), per_reading=True),
    surface_density("mean", "Mean of soluble salts"),
    surface_density("highest", "Highest of soluble salts"),
    replace(
        surface_density("chloride_as_nacl", "Chloride as sodium chloride, for comparison"),
        per_reading=True,
    ),
    surface_density("chloride_mean", "Mean of chloride"),
    surface_density("chloride_highest", "Highest of chloride"),
)
