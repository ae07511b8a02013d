"""Doubts about an instrument that could not be trusted when it was used."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from zoneinfo import ZoneInfo

from qc.engine.metrology import Span
from qc.engine.nonconformance import Origin
from qc.engine.plan import Doubt, Party
from qc.records.models import CalibrationWithdrawal, Inspection, InstrumentCheck
from qc.workflow.doubts.conceded import conceded_until
from qc.workflow.faults import failed_check, span_text, withdrawn_calibration
from qc.workflow.trust import Progress, suspects


def untrusted_instruments(progress: Progress) -> Iterator[tuple[int, str, Doubt]]:
    """Standing inspections made while an instrument had failed, or its calibration was bad."""
    grouped: dict[tuple[int, str, int, Span], list[Inspection]] = defaultdict(list)
    for one in suspects(progress):
        key = (one.repair.pk, one.step.key, one.instrument.pk, one.span)
        grouped[key].append(one.inspection)
    statements = _statements([span for _, _, _, span in grouped])
    zones = {repair.pk: ZoneInfo(repair.project.time_zone) for repair in progress}
    steps = {(repair.pk, p.step.key): p for repair, found in progress.items() for p in found}
    for (repair, step, instrument, span), inspections in grouped.items():
        yield (
            repair,
            step,
            Doubt(
                rule="instrument",
                statement=f"{statements[span]}: suspect {span_text(span, zones[repair])}",
                place=f"instrument/{instrument}",
                party=Party.INSPECTOR,
                conceded_until=conceded_until(steps[repair, step], Origin.INSTRUMENT, inspections),
            ),
        )


def _statements(spans: Sequence[Span]) -> dict[Span, str]:
    """What showed the fault of each span, in words, in a fixed number of queries."""
    checks = InstrumentCheck.objects.filter(pk__in=[s.check for s in spans if s.check])
    failed = {c.pk: failed_check(c) for c in checks.select_related("instrument__project")}
    calibrations = [s.calibration for s in spans if s.calibration]
    withdrawals = CalibrationWithdrawal.objects.filter(calibration__in=calibrations)
    bad = {
        w.calibration_id: withdrawn_calibration(w)
        for w in withdrawals.select_related("calibration__instrument__project")
    }
    return {
        span: failed[span.check] if span.check else bad[span.calibration or 0] for span in spans
    }
