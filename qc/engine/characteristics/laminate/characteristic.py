"""The finished laminate, declared: what is asked, what is seen, and how to inspect it."""

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.laminate.criteria import CRITERIA
from qc.engine.characteristics.laminate.reading import COMPUTED, READING
from qc.engine.characteristics.laminate.rules import assess

LAMINATE = Characteristic(
    key="laminate",
    title="Finished laminate",
    schema_version=1,
    criteria=CRITERIA,
    reading=READING,
    computed=COMPUTED,
    assess=assess,
    instruments=("caliper", "depth_gauge", "thickness_gauge"),
    method=(
        "After the cure, look at the whole laminate in good light, square on and along the "
        "surface, round the back too. Tap it all over with a coin or a light hammer: a dull sound "
        "is a delamination; mark its edge. Measure the largest pit, blister and foreign body "
        "across and in height, and every wrinkle as a step. Take the thickness from a recorded "
        "datum in each zone, also at the ends. Measure the length at several places round the "
        "pipe and see that it ends on prepared surface. Usual mistakes: the back of the pipe not "
        "seen, tapping the middle only, resin on top taken for laminate, and no answer taken for "
        "no defect."
    ),
    cautions=(
        "A repair under pressure can fail without notice: stand clear of seams and ends.",
        "Never grind, drill or cut a laminate on a live pipe, nor to find out more about a defect.",
        "Whether a defect may stay is the designer's to say, under the rules of the owner and the "
        "local code.",
    ),
)
