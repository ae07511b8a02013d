"""What entries state: the rows that acts wrote, and nothing else."""

from datetime import date
from itertools import chain as chained

import pytest
from django.apps import apps
from django.db.models import Model

from qc.engine.lifecycle import Act, RegisterAct
from qc.ledger.models import Checkpoint, Entry
from qc.ledger.sealed import Sealed
from qc.ledger.statement import content
from qc.records.models import Inspection, PointClosure, Reading, Repair, Signature
from qc.workflow.restate import STATES, statement
from tests.factories import AMBIENT, THICKNESS, record, repair_on_site
from tests.people import People


@pytest.mark.parametrize("act", [*Act, *RegisterAct])
def test_every_act_says_what_its_entries_state(act: Act | RegisterAct) -> None:
    assert STATES[act], f"{act} is not in STATES: see qc/workflow/restate.py"


def test_every_sealed_table_is_stated_by_some_act() -> None:
    stated = set(chained.from_iterable(STATES.values()))
    sealed = {m for m in apps.get_app_config("qc").get_models() if issubclass(m, Sealed)}

    assert sealed - stated == {Entry, Checkpoint}


def test_an_entry_states_every_column_of_every_row_the_act_wrote(people: People) -> None:
    entry = record(people, repair_on_site(people), AMBIENT)

    (inspection,) = Inspection.objects.all()
    assert entry.stated(Inspection) == [content(inspection)]
    assert entry.stated(Reading) == [content(reading) for reading in Reading.objects.all()]
    assert set(content(inspection)) == {f.attname for f in Inspection._meta.concrete_fields}


def test_what_follows_from_the_acts_is_not_stated(people: People) -> None:
    repair = repair_on_site(people)

    assert {"status", "signing_round"} & set(content(repair)) == set()
    assert content(repair)["created_at"] == "2026-05-12T11:00:00.000000Z"


def test_days_and_long_texts_are_stated_as_plain_text(people: People) -> None:
    from qc.records.models import Batch, Certificate

    batch = Batch(project=people.project, product="Filler", number="1", expiry=date(2026, 12, 31))
    assert content(batch)["expiry"] == "2026-12-31"
    # The digest of the two bytes {}, as any tool computes it.
    assert content(Certificate(snapshot="{}"))["snapshot"] == (
        "sha256:44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"
    )


@pytest.mark.parametrize(
    "rows", [[], [None], [Signature()], [PointClosure(), Signature()], [Repair()]]
)
def test_an_act_states_its_own_rows_and_no_others(rows: list[Model | None]) -> None:
    with pytest.raises(ValueError, match="see STATES"):
        statement(Act.CLOSE_POINT, rows)


def test_rows_left_out_are_none_and_the_others_stand_in_order_of_their_ids(people: People) -> None:
    record(people, repair_on_site(people), THICKNESS)
    inspection = Inspection.objects.get()
    later, earlier = Reading(pk=9, inspection=inspection), Reading(pk=8, inspection=inspection)

    payload = statement(Act.RECORD_INSPECTION, [inspection, later, None, earlier])

    assert [row["id"] for row in payload["reading"]] == [8, 9]
