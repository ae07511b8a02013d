"""The register of characteristics. Adding one is a folder here and a line in this list."""

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.adhesion import ADHESION
from qc.engine.characteristics.ambient import AMBIENT
from qc.engine.characteristics.cleanliness import CLEANLINESS
from qc.engine.characteristics.cure import CURE
from qc.engine.characteristics.degree_of_cure import DEGREE_OF_CURE
from qc.engine.characteristics.hardness import HARDNESS
from qc.engine.characteristics.mixing import MIXING
from qc.engine.characteristics.profile import PROFILE
from qc.engine.characteristics.recoat import RECOAT
from qc.engine.characteristics.salts import SALTS
from qc.engine.characteristics.solvent_rub import SOLVENT_RUB
from qc.engine.characteristics.thickness import THICKNESS
from qc.engine.characteristics.visual import VISUAL

ALL: tuple[Characteristic, ...] = (
    AMBIENT,
    CLEANLINESS,
    PROFILE,
    SALTS,
    MIXING,
    THICKNESS,
    CURE,
    RECOAT,
    SOLVENT_RUB,
    DEGREE_OF_CURE,
    HARDNESS,
    ADHESION,
    VISUAL,
)

CHARACTERISTICS = {characteristic.key: characteristic for characteristic in ALL}
