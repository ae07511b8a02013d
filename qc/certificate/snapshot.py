"""The snapshot of a signed record: everything a certificate says, as plain data."""

import json
from datetime import datetime
from typing import Any

from qc.engine import ENGINE
from qc.ledger.canonical import canonical, digest
from qc.ledger.chain import head_of, repair_chain, utc_text
from qc.records.models import Repair, Signature
from qc.workflow.document import record_document
from qc.workflow.facts import signatures_of


def build(
    repair: Repair,
    number: str,
    issued_at: datetime,
    check_code: str = "",
    check_address: str = "",
) -> dict[str, Any]:
    """The snapshot of `repair` as it stands, JSON types only; moments in UTC.

    `check_code` and `check_address` are those of the certificate's public page.

    It is read back from its canonical form, which is what is kept: a certificate made again from
    there is the same to the byte. `record_digest` is the SHA-256 of the record's canonical form,
    what the signatures are on.
    """
    gathered = _gathered(repair, number, issued_at)
    gathered["certificate"] |= {"check_code": check_code, "check_address": check_address}
    snapshot: dict[str, Any] = json.loads(canonical(gathered))
    return snapshot


def _gathered(repair: Repair, number: str, issued_at: datetime) -> dict[str, Any]:
    record = record_document(repair)
    length, head = head_of(repair_chain(repair.pk))
    return {
        "record": record,
        "record_digest": digest(record),
        "certificate": {
            "number": number,
            "revision": repair.certificates.count() + 1,
            "issued_at": utc_text(issued_at),
        },
        "signatures": [_signature(signature) for signature in signatures_of(repair)],
        "ledger": {"length": length, "head": head},
        "engine": ENGINE,
    }


def _signature(signature: Signature) -> dict[str, str]:
    return {
        "party": signature.party,
        "printed_name": signature.printed_name,
        "organisation": signature.organisation,
        "meaning": signature.meaning,
        "signed_at": utc_text(signature.signed_at),
        "record_digest": signature.record_digest,
    }
