"""R-107: corrosion found beside the wrap of R-101; the component shows both."""

from qc.management.demo.site import Site
from qc.workflow import RepairOutline

OUTLINE = RepairOutline(
    number="R-107",
    title="Wrap beside R-101, cooling-water return",
    asset_tag="12-CW-204",
    defect="Pitting under the edge of the wrap of R-101, found when its paint was touched up",
    defect_type="external_corrosion",
    defect_length="120 mm",
    defect_width="60 mm",
    defect_depth="2.2 mm",
    defect_distance="2.48 m",
    defect_clock="6",
    defect_position="from flange F3",
    repair_class="2, by design DN-223",
    design_life="10 years",
    template="composite_wrap",
)


def play(site: Site) -> None:
    """Drafted from the template and nothing more."""
    site.plan("16:20", days=0)
