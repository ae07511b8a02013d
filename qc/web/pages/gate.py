"""How far a repair is from its release: what is open, where, and who can clear it."""

from collections.abc import Sequence
from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Status
from qc.engine.plan import Blocker, Intervention, Party
from qc.engine.rules import Outcome
from qc.engine.wording import moment_text
from qc.records.models import Return
from qc.web.loading import RepairInHand
from qc.web.pages.places import way_to
from qc.workflow.facts import signatures_of
from qc.workflow.signing import MEANINGS, SIGNING_ACTS

RULES = {
    "plan": "A repair is released by an inspection and test plan that has steps.",
    "not_started": "Every step of the plan is recorded before the release.",
    "reading": "The latest verdict of every step conforms, or is conceded.",
    "evidence": "What the plan asks for as evidence is on record.",
    "calibration": "An instrument is in calibration on the day it is used, the due day included.",
    "shelf_life": "A batch is used until its expiry, that day included.",
    "concession": "A concession counts until its last day.",
    "nonconformance": "Every nonconformance report is closed before the release.",
    "window": "The time between two steps lies in the window that the plan states.",
    "prerequisite": "A step rests on earlier ones that conform.",
    "instrument": "A reading counts only if its instrument can be trusted.",
    "range": "A reading lies within the range of its instrument.",
    "batch": "A batch that went into the work is not recalled.",
    "qualification": "Who did the work was qualified for it on that day.",
    "signature": "Three people sign, one of each party, on the record as it stands.",
}
"""The rule behind a blocker in words; those of points stand in the plan's terms."""


def blockers_shown(hand: RepairInHand, blockers: Sequence[Blocker]) -> list[dict[str, Any]]:
    """Blockers as the part draws them: what, by which rule, where it is cleared and by whom."""
    shown = []
    for blocker in blockers:
        address, label = way_to(hand, blocker)
        shown.append(
            {
                "what": blocker.statement,
                "rule": rule_in_words(hand, blocker),
                "url": address,
                "where": label,
                "who": who_clears(hand, blocker),
            }
        )
    return shown


def rule_in_words(hand: RepairInHand, blocker: Blocker) -> str:
    """What asks for it; "" for a refusal that explains itself."""
    if blocker.rule in list(Intervention):
        terms = hand.terms[Intervention(blocker.rule)]
        return f"{terms.code}: {terms.wording}"
    return RULES.get(blocker.rule, "")


def who_clears(hand: RepairInHand, blocker: Blocker) -> str:
    """The party that can clear it; of a hold the persons who are listed to release it."""
    is_mine = blocker.party is hand.party
    if blocker.rule != Intervention.HOLD or blocker.party is Party.INSPECTOR:
        return "you" if is_mine else f"the {blocker.party}"
    if is_mine and hand.membership.releases_holds:
        return "you, who are listed to release the holds"
    names = ", ".join(hand.listed[blocker.party]) or "nobody is listed yet to release its holds"
    return f"the {blocker.party}: {names}"


def distance(hand: RepairInHand) -> list[dict[str, Any]]:
    """The figures of the gate: steps that conform, things open, signatures given."""
    conforming = sum(p.outcome is Outcome.CONFORMS for p in hand.progress)
    conceded = sum(p.conceded_until is not None for p in hand.progress)
    signed = len(hand.facts.signatures)
    return [
        {
            "label": "Steps that conform",
            "value": f"{conforming} of {len(hand.progress)}",
            "note": f"{conceded} by concession" if conceded else "",
        },
        {"label": "Things open", "value": str(len(hand.open_items))},
        {"label": "Signatures", "value": f"{signed} of {len(Party)}"},
    ]


def cleared_words(hand: RepairInHand) -> str:
    """What is left to do when no step, point, evidence or means stands open."""
    if hand.repair.stands_at is Status.RELEASED:
        return "The certificate is issued."
    lacking = [party for party in Party if party not in hand.facts.signatures]
    if lacking:
        return f"To come: the signature of the {', then of the '.join(lacking)}."
    return "All three parties have signed: the certificate can be made."


def signing_shown(hand: RepairInHand) -> dict[str, Any] | None:
    """The signature of the person's own party: where it is put, or why not yet; None once given."""
    if hand.party in hand.facts.signatures or hand.repair.stands_at is Status.RELEASED:
        return None
    reasons = hand.reasons_against(SIGNING_ACTS[hand.party])
    listed = [reason for reason in reasons if reason in hand.open_items]
    others = [reason.statement for reason in reasons if reason not in hand.open_items]
    counted = [f"Things open, as listed: {len(listed)}."] if listed else []
    return {"url": reverse("sign", args=[hand.repair.pk]), "reasons": [*others, *counted]}


def signatures_shown(hand: RepairInHand) -> list[dict[str, Any]]:
    """The three signatures in their order, given or still to come."""
    given = {signature.party: signature for signature in signatures_of(hand.repair)}
    return [_signature(hand, party, given.get(party)) for party in Party]


def _signature(hand: RepairInHand, party: Party, signature: Any) -> dict[str, Any]:
    if signature is None:
        firm = hand.repair.project.organisation_of(party).name
        return {"party": party, "meaning": MEANINGS[party], "waiting": firm}
    return {
        "party": party,
        "meaning": f"{signature.meaning}, for {signature.organisation}",
        "name": signature.printed_name,
        "at": moment_text(signature.signed_at, hand.zone),
        "digest": signature.record_digest,
    }


def returns_shown(hand: RepairInHand) -> list[dict[str, Any]]:
    """Every time the record was sent back, with the reason; the latest first."""
    returns = Return.objects.filter(repair=hand.repair).order_by("-pk")
    return [
        {
            "term": f"{moment_text(r.returned_at, hand.zone)}, {r.returned_by_name} ({r.party})",
            "definition": r.reason,
        }
        for r in returns
    ]
