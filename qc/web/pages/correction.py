"""The page on which an inspection is corrected."""

from typing import Any

from qc.engine.lifecycle import Act
from qc.engine.plan import Blocker
from qc.engine.wording import moment_text
from qc.records.models import Inspection
from qc.records.progress import StepProgress
from qc.web.forms.correction import CorrectionForm
from qc.web.loading import RepairInHand
from qc.web.pages.gate import blockers_shown
from qc.web.pages.places import crumbs, party_line, step_url
from qc.web.pages.step import asked_lines
from qc.workflow.inspections import replaced


def correction_page(
    hand: RepairInHand, progress: StepProgress, wrong: Inspection, form: CorrectionForm
) -> dict[str, Any]:
    """Everything the template writes."""
    step = progress.step
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "step": step,
        "crumbs": crumbs(
            hand, (f"Step {step.position}", step_url(hand, step.position)), ("Correct", "")
        ),
        "observed": moment_text(wrong.observed_at, hand.zone),
        "recorded_by": wrong.recorded_by_name,
        "asked": asked_lines(hand, step),
        "reasons": blockers_shown(hand, reasons_not_to_correct(hand, progress, wrong)),
        "form": form,
    }


def reasons_not_to_correct(
    hand: RepairInHand, progress: StepProgress, wrong: Inspection
) -> list[Blocker]:
    """Why the inspection cannot be corrected now; empty if it can."""
    return [*hand.reasons_against(Act.CORRECT_INSPECTION), *replaced(progress, wrong.pk)]
