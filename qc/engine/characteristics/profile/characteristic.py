"""Surface profile, declared: what is asked, what is read, and how to take it."""

from qc.engine.characteristic import Characteristic, Places
from qc.engine.characteristics.profile.criteria import CRITERIA, check
from qc.engine.characteristics.profile.reading import COMPUTED, READING
from qc.engine.characteristics.profile.rules import assess_profile

PROFILE = Characteristic(
    key="profile",
    title="Surface profile",
    schema_version=1,
    criteria=CRITERIA,
    reading=READING,
    computed=COMPUTED,
    assess=assess_profile,
    ordered=(("min", "max"), ("segment_min", "segment_max")),
    check=check,
    places=Places(
        rules=("profile",), unless={"method=comparator": "comparator"}, least="locations_min"
    ),
    instruments=("comparator", "profile_gauge", "replica_tape"),
    method=(
        "Choose locations of about 15 cm by 15 cm spread over the surface, also where the tool or "
        "abrasive changed. Comparator: lay it on the clean surface, look and feel, name the grade; "
        "only on Sa 2½ and Sa 3. Depth micrometer: zero it on glass, take ten readings a location, "
        "moving it each time. Replica tape: burnish until evenly dark, measure, note whether the "
        "film of 50 µm (2 mil) is still in the figure; between 38 and 64 µm (1.5 and 2.5 mil) take "
        "the other grade at the same spot and enter the pair side by side. Stylus: five traces a "
        "location. The usual mistakes: dust under the probe, the film not subtracted, a worn "
        "comparator, two methods mixed."
    ),
    cautions=(
        "A freshly blasted edge cuts: wear gloves.",
        "Keep clear of blasting and of dust, which may hold lead or silica.",
    ),
)
