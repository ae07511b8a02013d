"""Canonical bytes and pinned hashes: the same on every database, on every machine, for years."""

from datetime import UTC, datetime
from typing import Any
from uuid import UUID

import pytest
from django.db import connection
from hypothesis import given
from hypothesis import strategies as st

from qc.accounts.models import Organisation, Project, User
from qc.engine.lifecycle import Act
from qc.engine.plan import Party
from qc.ledger.canonical import canonical, digest
from qc.ledger.chain import append, head_of, repair_chain
from qc.ledger.checkpoints import take
from qc.ledger.statement import payload_of
from qc.records.models import (
    Asset,
    Inspection,
    Plan,
    PlanAgreement,
    PlanStep,
    Reading,
    Repair,
    Signature,
)

VECTORS: list[tuple[Any, bytes]] = [
    ({}, b"{}"),
    ([], b"[]"),
    (None, b"null"),
    ([True, False], b"[true,false]"),
    (-7, b"-7"),
    (2**53 - 1, b"9007199254740991"),
    ('a"b\\c/d', rb'"a\"b\\c/d"'),
    ("\b\t\n\f\r\x00\x1f\x7f", b'"\\b\\t\\n\\f\\r\\u0000\\u001f\x7f"'),
    ("\u00b5m \u20ac \U0001f527", '"\u00b5m \u20ac \U0001f527"'.encode()),
    ("e\u0301", '"\u00e9"'.encode()),
    ({"b": 1, "a": {"d": [], "c": None}}, b'{"a":{"c":null,"d":[]},"b":1}'),
    # RFC 8785, section 3.2.3: names are sorted by their UTF-16 code units.
    (
        {"\u20ac": 1, "\r": 2, "\uff5e": 3, "1": 4, "\U0001f600": 5, "\u0080": 6, "\u00f6": 7},
        '{"\\r":2,"1":4,"\u0080":6,"\u00f6":7,"\u20ac":1,"\U0001f600":5,"\uff5e":3}'.encode(),
    ),
    ({"readings": ["5.60 mm", "6 mm"]}, b'{"readings":["5.60 mm","6 mm"]}'),
]
"""A value and its canonical bytes."""

JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=8,
)

AT = datetime(2026, 5, 12, 11, 0, 0, 250, tzinfo=UTC)


@pytest.mark.parametrize(("value", "expected"), VECTORS)
def test_canonical_bytes_are_as_pinned(value: Any, expected: bytes) -> None:
    assert canonical(value) == expected


@given(JSON, JSON)
def test_two_contents_have_the_same_bytes_only_if_they_are_equal(one: Any, other: Any) -> None:
    import json

    # JSON keeps True and 1 apart, which Python's equality does not.
    same = json.loads(canonical(one)) == json.loads(canonical(other))
    assert (canonical(one) == canonical(other)) == (
        same and str(json.loads(canonical(one))) == str(json.loads(canonical(other)))
    )


def scripted_rows() -> dict[type, Any]:
    """A small record with ids and moments of its own, saved and read back from the database."""
    carl = User.objects.create(pk=901, username="carl", first_name="Carl", last_name="Vale")
    firm = Organisation.objects.create(pk=902, name="Saltmarsh Repairs")
    project = Project.objects.create(
        pk=903, code="SQT", title="Quay", site="Quay", client=firm, contractor=firm, inspector=firm
    )
    asset = Asset.objects.create(pk=904, project=project, tag="6-CW-118", wall="7.11 mm")
    repair = Repair.objects.create(
        pk=905,
        project=project,
        number="R-014",
        title="Wrap over a leak \N{MICRO SIGN}",
        asset=asset,
        created_by=carl,
        created_at=AT,
    )
    plan = Plan.objects.create(
        pk=906,
        repair=repair,
        revision=1,
        template="t",
        title="Plan",
        created_by=carl,
        created_at=AT,
    )
    step = PlanStep.objects.create(
        pk=907,
        plan=plan,
        position=1,
        key="thickness",
        title="Thickness",
        activity="Measure",
        characteristic="thickness",
        sampling="eight",
        criteria={"min": "5 mm", "rule": "minimum"},
    )
    agreement = PlanAgreement.objects.create(
        pk=908, plan=plan, agreed_by=carl, agreed_by_name="Carl Vale", agreed_at=AT
    )
    inspection = Inspection.objects.create(
        pk=909,
        repair=repair,
        step=step,
        observed_at=AT,
        recorded_at=AT,
        recorded_by=carl,
        recorded_by_name="Carl Vale",
        schema_version=1,
        criteria={"min": "5 mm"},
        sources={"min": "common practice"},
        verdict={"outcome": "conforms", "findings": []},
        outcome="conforms",
        engine="1",
        act_id=UUID(int=3),
    )
    reading = Reading.objects.create(
        pk=910, inspection=inspection, position=1, values={"values": ["5.60 mm", "6 mm"]}
    )
    signature = Signature.objects.create(
        pk=911,
        repair=repair,
        signing_round=1,
        party="inspector",
        signed_by=carl,
        printed_name="Zo\N{LATIN SMALL LETTER E WITH DIAERESIS}",
        organisation="Saltmarsh Repairs",
        meaning="Inspected and recorded as stated",
        signed_at=AT,
        record_digest="0" * 64,
    )
    made = (agreement, reading, signature)
    return {type(row): type(row)._base_manager.get(pk=row.pk) for row in made}


SCRIPT = (
    (Act.AGREE_PLAN, PlanAgreement),
    (Act.RECORD_INSPECTION, Reading),
    (Act.SIGN_INSPECTION, Signature),
)


@pytest.mark.django_db
def test_the_same_history_has_the_same_head_on_every_database() -> None:
    rows = scripted_rows()
    carl = User.objects.get(pk=901)
    chain = repair_chain(905)
    for number, (act, model) in enumerate(SCRIPT, start=1):
        append(
            chain=chain,
            act=act,
            act_id=UUID(int=number),
            actor=carl,
            party=Party.CONTRACTOR,
            observed_at=AT,
            recorded_at=AT,
            payload=payload_of([rows[model]]),
        )

    assert head_of(chain) == (3, PINNED_HEAD), connection.vendor
    assert take(AT, "daily").own_hash == PINNED_CHECKPOINT
    assert [digest(entry.payload) == entry.payload_digest for entry in chain.entries()] == [
        True
    ] * 3


PINNED_HEAD = "4dbf203fa540283694285509a0b5e7536abda39e1fad0774d85ad3d17acd4e50"
PINNED_CHECKPOINT = "1e7cce7d848be9d637b8036884e0327f940433963bcd9788fa945a29d19e51e6"
"""They change only with a column of these tables or the form of an entry, on every database."""
