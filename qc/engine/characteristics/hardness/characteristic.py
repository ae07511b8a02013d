"""Hardness, declared: what is asked, what is read, and how to take it."""

from qc.engine.characteristic import Characteristic, Places
from qc.engine.characteristics.hardness.criteria import CRITERIA, check
from qc.engine.characteristics.hardness.reading import COMPUTED, READING
from qc.engine.characteristics.hardness.rules import assess_hardness

HARDNESS = Characteristic(
    key="hardness",
    title="Hardness",
    schema_version=1,
    criteria=CRITERIA,
    reading=READING,
    computed=COMPUTED,
    assess=assess_hardness,
    check=check,
    places=Places(rules=("one_each",)),
    instruments=("durometer", "barcol_impressor", "stopwatch", "surface_thermometer"),
    method=(
        "Choose a smooth, undamaged and clean place, away from edges. Press the instrument square "
        "to the surface without shock, hold it for the dwell of the plan and read. Move at least "
        "6 mm (Barcol: 3 mm) for each further reading; never press twice in one place. Check the "
        "instrument on its reference block before and after. A curved or thin layer over steel "
        "reads differently from a laboratory specimen: compare with the qualification value or a "
        "witness coupon taken the same way. Record the surface temperature; nothing corrects for "
        "it. Pencil: hold it at 45 degrees, push, and name the hardest grade that leaves no mark."
    ),
    cautions=(
        "The surface may still be hot from curing.",
        "Uncured resin and hardener irritate skin: wear gloves.",
    ),
)
