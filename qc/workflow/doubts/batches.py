"""Doubts about material that was recalled after it was used."""

from collections import defaultdict
from collections.abc import Iterator

from qc.engine.nonconformance import Origin
from qc.engine.plan import Doubt, Party
from qc.records.models import BatchRecall, Inspection
from qc.workflow.doubts.conceded import conceded_until
from qc.workflow.faults import recalled_batch
from qc.workflow.trust import Progress


def recalled_batches(progress: Progress) -> Iterator[tuple[int, str, Doubt]]:
    """Steps whose standing inspections used a batch that is recalled."""
    used: dict[tuple[int, str, int], list[Inspection]] = defaultdict(list)
    for repair, steps in progress.items():
        for step in steps:
            for inspection in step.standing:
                for use in inspection.batch_uses.all():
                    used[repair.pk, step.step.key, use.batch_id].append(inspection)
    steps_by_key = {(repair.pk, p.step.key): p for repair, held in progress.items() for p in held}
    recalls = BatchRecall.objects.filter(batch__in={batch for _, _, batch in used})
    by_batch = {recall.batch_id: recall for recall in recalls.select_related("batch")}
    for (repair_id, key, batch), inspections in used.items():
        if batch in by_batch:
            until = conceded_until(steps_by_key[repair_id, key], Origin.BATCH, inspections)
            yield (
                repair_id,
                key,
                Doubt(
                    rule="batch",
                    statement=recalled_batch(by_batch[batch]),
                    place=f"batch/{batch}",
                    party=Party.CONTRACTOR,
                    conceded_until=until,
                ),
            )
