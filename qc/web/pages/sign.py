"""The check page before a signature, and the page that sends the record back."""

from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Act, Status
from qc.engine.plan import Party
from qc.web.forms.act import ActForm
from qc.web.forms.sign import ReturnForm, SignForm
from qc.web.loading import RepairInHand
from qc.web.pages.gate import blockers_shown, distance, returns_shown, signatures_shown
from qc.web.pages.places import crumbs, party_line
from qc.web.pages.record import record_shown, void_signatures
from qc.workflow.signing import MEANINGS, SIGNING_ACTS, stale_signatures

LABELS = {
    Party.INSPECTOR: "Sign the inspection",
    Party.CONTRACTOR: "Sign the work",
    Party.CLIENT: "Approve the record",
}
"""What the button of each party says."""

FOLLOWS = {
    Party.INSPECTOR: "Then nothing more can be recorded, and the contractor signs.",
    Party.CONTRACTOR: "Then the client reads the record and approves or returns it.",
    Party.CLIENT: "Then the certificate is made and issued.",
}
"""What comes after the signature of each party."""


def sign_page(hand: RepairInHand, form: SignForm, digest: str) -> dict[str, Any]:
    """Everything the template writes; `digest` was taken before any of it."""
    act = SIGNING_ACTS[hand.party]
    reasons = hand.reasons_against(act) or stale_signatures(hand.repair, digest)
    turn = hand.may(act)
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "crumbs": crumbs(hand, ("Check and sign", "")),
        "own_party": hand.party,
        "digest": digest,
        "distance": distance(hand),
        "blockers": blockers_shown(hand, hand.open_items),
        "signatures": signatures_shown(hand),
        "void_signatures": void_signatures(hand),
        "returns": returns_shown(hand),
        "turn": turn,
        "reasons": [reason.statement for reason in reasons],
        "terms": _terms(hand),
        "label": LABELS[hand.party],
        "follows": FOLLOWS[hand.party],
        "may_return": hand.may(Act.RETURN_REPAIR),
        "form": form if form.is_bound or not reasons else None,
        "make_form": ActForm() if hand.may(Act.RELEASE_CERTIFICATE) else None,
        "is_released": hand.repair.stands_at is Status.RELEASED,
        **record_shown(hand),
    }


def _terms(hand: RepairInHand) -> list[dict[str, str]]:
    """Who signs, for whom, and what the signature means."""
    name = hand.membership.user.printed_name
    firm = hand.repair.project.organisation_of(hand.party).name
    return [
        {"term": "Signs", "definition": name},
        {"term": "For", "definition": f"{firm}, {hand.party}"},
        {"term": "Meaning", "definition": MEANINGS[hand.party]},
    ]


def return_page(hand: RepairInHand, form: ReturnForm) -> dict[str, Any]:
    """Everything the template writes."""
    sign_url = reverse("sign", args=[hand.repair.pk])
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "crumbs": crumbs(hand, ("Check and sign", sign_url), ("Return", "")),
        "sign_url": sign_url,
        "returns": returns_shown(hand),
        "signatures": signatures_shown(hand),
        "form": form,
    }
