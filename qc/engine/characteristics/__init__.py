"""The register of characteristics. Adding one is a folder here and a line in this list."""

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.adhesion import ADHESION
from qc.engine.characteristics.ambient import AMBIENT
from qc.engine.characteristics.blast_air import BLAST_AIR
from qc.engine.characteristics.cleanliness import CLEANLINESS
from qc.engine.characteristics.continuity import CONTINUITY
from qc.engine.characteristics.cure import CURE
from qc.engine.characteristics.degree_of_cure import DEGREE_OF_CURE
from qc.engine.characteristics.dust import DUST
from qc.engine.characteristics.hardness import HARDNESS
from qc.engine.characteristics.laminate import LAMINATE
from qc.engine.characteristics.mixing import MIXING
from qc.engine.characteristics.moisture import MOISTURE
from qc.engine.characteristics.oil_grease import OIL_GREASE
from qc.engine.characteristics.pressure_test import PRESSURE_TEST
from qc.engine.characteristics.profile import PROFILE
from qc.engine.characteristics.recoat import RECOAT
from qc.engine.characteristics.salts import SALTS
from qc.engine.characteristics.solvent_rub import SOLVENT_RUB
from qc.engine.characteristics.thickness import THICKNESS
from qc.engine.characteristics.visual import VISUAL
from qc.engine.characteristics.wrap import WRAP

ALL: tuple[Characteristic, ...] = (
    AMBIENT,
    BLAST_AIR,
    CLEANLINESS,
    PROFILE,
    SALTS,
    DUST,
    OIL_GREASE,
    MOISTURE,
    MIXING,
    WRAP,
    THICKNESS,
    CURE,
    RECOAT,
    SOLVENT_RUB,
    DEGREE_OF_CURE,
    HARDNESS,
    LAMINATE,
    ADHESION,
    CONTINUITY,
    PRESSURE_TEST,
    VISUAL,
)

CHARACTERISTICS = {characteristic.key: characteristic for characteristic in ALL}
