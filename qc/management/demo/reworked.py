"""R-101's profile: too rough at one place, reported, dressed as agreed, and measured again."""

from qc.engine.nonconformance import Disposition, ReportDeed
from qc.engine.plan import Party
from qc.management.demo.photographs import close_ups
from qc.management.demo.readings import profile
from qc.management.demo.site import Site
from qc.workflow import Manner


def roughen(site: Site) -> None:
    """One location too rough at first: dressed and measured again."""
    upstream = profile("upstream, 3 o'clock", "48 52 55 51 44 58 53 50 57 54")
    downstream = profile("downstream, 9 o'clock", "46 49 51 43 55 50 47 52 48 45")
    rough = profile("beside the pad, 6 o'clock", "69 64 72 66 61 70 67 63 68 65")
    site.inspect("profile", "09:40", [upstream, rough, downstream], using=("PG-03",))
    _agree_to_dress(site)
    dressed = profile("beside the pad, 6 o'clock", "55 51 58 54 49 57 56 52 53 50")
    dressed_to = site.inspect(
        "profile",
        "10:25",
        [upstream, dressed, downstream],
        using=("PG-03",),
        rework="Dressed with a fine flap disc beside the pad, dusted, measured again.",
    )
    site.deal(1, ReportDeed.REINSPECT, Party.INSPECTOR, "10:31", inspection_id=dressed_to)
    site.deal(1, ReportDeed.CLOSE, Party.INSPECTOR, "10:33")
    site.picture(
        "profile",
        "gauge",
        "10:28",
        close_ups.gauge_on_steel(14, "53", "µm", "PROFILE"),
        "Profile beside the pad after dressing",
    )
    site.close("profile", Party.CLIENT, "10:45", Manner.RELEASED, "Seen on site, go ahead")


def _agree_to_dress(site: Site) -> None:
    """What is done about the rough spot, before anybody touches it."""
    rough = "The rough spot is chalked off; no filler is mixed."
    site.deal(1, ReportDeed.CONTAIN, Party.CONTRACTOR, "09:46", rough)
    dress = "Dress the peaks beside the pad with a fine flap disc, dust, measure all again."
    site.deal(
        1, ReportDeed.PROPOSE, Party.CONTRACTOR, "09:50", dress, disposition=Disposition.REWORK
    )
    site.deal(1, ReportDeed.APPROVE, Party.INSPECTOR, "09:54", "Only beside the pad.")
    done = "Dressed with a fine flap disc beside the pad, dusted."
    site.deal(1, ReportDeed.IMPLEMENT, Party.CONTRACTOR, "10:20", done)
