"""Adding evidence to a repair: the file is stored whole before its row exists."""

from datetime import datetime
from uuid import UUID

from qc.accounts.models import User
from qc.engine.lifecycle import Act, Refused
from qc.engine.plan import Blocker, Party
from qc.evidence.inspect import UnusableFile, inspect_file
from qc.evidence.models import Evidence
from qc.evidence.store import keep
from qc.ledger.chain import Entry
from qc.workflow.deed import act, begin, finish


@act
def add_evidence(
    *,
    repair_id: int,
    position: int,
    requirement: str,
    content: bytes,
    filename: str,
    caption: str,
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Keep a file as evidence of a step. `requirement` is the key of what the plan asks for."""
    deed = begin(Act.ADD_EVIDENCE, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    step = deed.step(position).step
    if requirement and requirement not in {item["key"] for item in step.evidence}:
        raise Refused(_refusal(position, f"the step asks for no evidence {requirement!r}"))
    try:
        facts = inspect_file(content)
    except UnusableFile as unusable:
        raise Refused(_refusal(position, f"{filename[:80]}: {unusable}")) from None
    evidence = Evidence.objects.create(
        repair=deed.repair,
        step=step,
        requirement=requirement,
        caption=caption.strip(),
        sha256=keep(content),
        size=len(content),
        content_type=facts.content_type,
        filename=filename[-200:],
        uploaded_by=actor,
        uploaded_by_name=actor.printed_name,
        party=deed.party,
        uploaded_at=at,
    )
    return finish(deed, evidence)


def _refusal(position: int, problem: str) -> Blocker:
    return Blocker(
        rule="evidence",
        statement=f"Step {position}: {problem}",
        step=position,
        place="evidence",
        party=Party.CONTRACTOR,
    )
