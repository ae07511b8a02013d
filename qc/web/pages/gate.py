"""How far a repair is from its release: what is open, where, and who can clear it."""

from collections.abc import Sequence
from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Status
from qc.engine.plan import Blocker, Party
from qc.engine.rules import Outcome
from qc.engine.wording import moment_text
from qc.records.models import Return
from qc.web.loading import RepairInHand
from qc.web.pages.places import way_to
from qc.workflow.facts import signatures_of
from qc.workflow.signing import MEANINGS, SIGNING_ACTS


def blockers_shown(hand: RepairInHand, blockers: Sequence[Blocker]) -> list[dict[str, Any]]:
    """Blockers as the part draws them, each with the way to the page that clears it."""
    shown = []
    for blocker in blockers:
        address, label = way_to(hand, blocker)
        who = "you" if blocker.party is hand.party else f"the {blocker.party}"
        shown.append({"what": blocker.statement, "url": address, "where": label, "who": who})
    return shown


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
