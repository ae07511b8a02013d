"""A wrap applied on site, declared: what is asked, what is recorded, and how to do it."""

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.wrap.criteria import CRITERIA, ORDERED, check
from qc.engine.characteristics.wrap.reading import COMPUTED, READING
from qc.engine.characteristics.wrap.rules import assess

WRAP = Characteristic(
    key="wrap",
    title="Composite wrap",
    schema_version=1,
    criteria=CRITERIA,
    reading=READING,
    computed=COMPUTED,
    assess=assess,
    ordered=ORDERED,
    check=check,
    instruments=("caliper", "stopwatch", "surface_thermometer"),
    method=(
        "One reading for each part: the seal pad, each band, each roll, and at last the finished "
        "wrap. Measure defect and pad along and round the pipe, the backing sheet with a caliper. "
        "Read the pipe surface beside the next turn before a roll is opened; time its soaking, and "
        "from out of the water to its last turn. Begin before the leak and wind it tight. Measure "
        "the overlap where it is least. Count the passes over the whole length, or the layers at "
        "one place. Measure the wrap beyond the defect at both ends and its whole length. Usual "
        "mistakes: a roll soaked before the place is ready, an overlap lost where the spiral "
        "turns back, passes that stop short of the ends, a hot pipe that sets the roll too soon."
    ),
    cautions=(
        "The design of the repair, its layers and its reach are a competent engineer's, under the "
        "local code; figures by formula are for information and decide nothing.",
        "Sealing a live leak can kill: only with the owner's permission, within pressure and "
        "temperature of the sealing system, and standing clear of the jet.",
        "The resin holds isocyanates or amines and heats as it cures: gloves, sleeves, eye "
        "protection, fresh air.",
        "Bands under tension can fail: tighten evenly, and never over a wall that may be too thin.",
    ),
)
