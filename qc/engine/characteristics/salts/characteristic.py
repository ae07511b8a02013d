"""Soluble salts, declared: what is asked, what is read, and how to take it."""

from qc.engine.characteristic import Characteristic, Places
from qc.engine.characteristics.salts.criteria import CRITERIA, check
from qc.engine.characteristics.salts.reading import COMPUTED, READING
from qc.engine.characteristics.salts.rules import assess

SALTS = Characteristic(
    key="salts",
    title="Soluble salts",
    schema_version=1,
    criteria=CRITERIA,
    reading=READING,
    computed=COMPUTED,
    assess=assess,
    check=check,
    places=Places(rules=("salts",), least="readings_min"),
    instruments=("conductivity_meter", "stopwatch", "thermometer"),
    method=(
        "After the surface is prepared and before the first coat, press a patch on dry steel, fill "
        "it with the stated volume of pure water and move the water to and fro, at least four "
        "times, over about ten minutes. Measure the conductivity of the same water before (the "
        "blank, out of the rinsed kit) and after. Test where salts gather: pits, old corrosion, "
        "welds, crevices, undersides. A factor belongs to one volume, one area and one sort of "
        "salts: state all three. Tests of one ion, as chloride, measure another quantity and have "
        "a limit of their own. Usual mistakes: a leak round the patch, which makes the test void; "
        "touching the surface with bare hands; a meter not set to the temperature; the factor of "
        "another kit."
    ),
    cautions=(
        "Salts left under a coating draw water and blister it, and on hot steel can crack it.",
        "Dry the tested places before coating, and clean them again where water has stood.",
    ),
)
