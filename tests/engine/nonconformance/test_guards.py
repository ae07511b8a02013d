"""What stands against a deed on a report, reason by reason."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from qc.engine.lifecycle import Refused
from qc.engine.nonconformance import (
    Concession,
    Disposition,
    NamedReadings,
    ReportDeed,
    ReportFacts,
    ReportState,
    decide_on_report,
)
from qc.engine.plan import Party

N, K, C = Party.INSPECTOR, Party.CONTRACTOR, Party.CLIENT
S, D, W = ReportState, ReportDeed, Disposition
TODAY = date(2026, 5, 12)
GOOD = NamedReadings(on_step=True, later=True, standing=True, conforms=True, corrects=False)
CORRECTED = replace(GOOD, later=False, corrects=True)
GRANT = Concession(scope="one spot of 4 mm, this pipe", until=TODAY)


def refusals(deed: ReportDeed, party: Party, state: ReportState, **facts: Any) -> list[str]:
    """Why the deed is refused; empty if it isn't."""
    known: dict[str, Any] = {"actor": 3, "day": TODAY, "text": "in words"} | facts
    try:
        decide_on_report(deed, party, ReportFacts(state=state, **known))
    except Refused as refused:
        return [reason.statement for reason in refused.reasons]
    return []


@pytest.mark.parametrize("text", ["", " \n"])
@pytest.mark.parametrize(
    ("deed", "party", "state", "more"),
    [
        (D.CONTAIN, K, S.OPEN, {}),
        (D.PROPOSE, K, S.CONTAINED, {"chosen": W.REWORK}),
        (D.DECLINE, C, S.PROPOSED, {"disposition": W.REPAIR}),
        (D.IMPLEMENT, K, S.APPROVED, {"disposition": W.REWORK}),
        (D.CLOSE, N, S.OPEN, {"chosen": W.CORRECTION, "readings": CORRECTED}),
        (D.REOPEN, C, S.CLOSED, {"disposition": W.REWORK}),
    ],
)
def test_what_is_done_is_said_in_words(
    deed: ReportDeed, party: Party, state: ReportState, more: dict[str, Any], text: str
) -> None:
    assert refusals(deed, party, state, **more) == []
    assert refusals(deed, party, state, **more, text=text) == ["Say in words what or why."]


@pytest.mark.parametrize("deed", [D.APPROVE, D.DECLINE])
@pytest.mark.parametrize("disposition", [W.REWORK, W.REPAIR, W.USE_AS_IS, W.REJECT])
def test_nobody_decides_what_they_proposed(deed: ReportDeed, disposition: Disposition) -> None:
    stand = {"disposition": disposition, "concession": GRANT}

    assert refusals(deed, C, S.PROPOSED, **stand, proposed_by=4) == []
    assert refusals(deed, C, S.PROPOSED, **stand, proposed_by=3) == [
        "You proposed this disposition: another person decides on it."
    ]


@pytest.mark.parametrize(
    ("deed", "state"), [(D.REINSPECT, S.IMPLEMENTED), (D.CLOSE, S.REINSPECTED)]
)
def test_nobody_passes_their_own_work(deed: ReportDeed, state: ReportState) -> None:
    stand = {"disposition": W.REWORK, "readings": GOOD}

    assert refusals(deed, N, state, **stand, implemented_by=4) == []
    assert refusals(deed, N, state, **stand, implemented_by=3) == [
        "You did this work: another person decides on it."
    ]


SCOPE, DAY = "A concession needs its scope", "A concession needs its last day"
YESTERDAY = TODAY - timedelta(days=1)


@pytest.mark.parametrize("disposition", [W.REPAIR, W.USE_AS_IS])
@pytest.mark.parametrize(
    ("concession", "missing"),
    [
        (None, [SCOPE, DAY]),
        (Concession(scope=" ", until=None), [SCOPE, DAY]),
        (Concession(scope="", until=TODAY), [SCOPE]),
        (Concession(scope="one spot", until=None), [DAY]),
        (Concession(scope="one spot", until=YESTERDAY), ["last day 2026-05-11 is past"]),
        (Concession(scope="one spot", until=TODAY), []),
        (Concession(scope="one spot", until=TODAY + timedelta(days=1)), []),
    ],
)
def test_a_concession_has_a_scope_and_a_last_day_ahead(
    disposition: Disposition, concession: Concession | None, missing: list[str]
) -> None:
    said = refusals(D.APPROVE, C, S.PROPOSED, disposition=disposition, concession=concession)

    assert len(said) == len(missing)
    assert all(part in statement for part, statement in zip(missing, said, strict=True))


@pytest.mark.parametrize("disposition", [W.REWORK, W.REJECT])
def test_rework_and_reject_need_no_concession(disposition: Disposition) -> None:
    assert refusals(D.APPROVE, C, S.PROPOSED, disposition=disposition) == []


@pytest.mark.parametrize("disposition", [W.REWORK, W.REPAIR, W.REJECT])
@pytest.mark.parametrize(
    ("deed", "state"), [(D.REINSPECT, S.IMPLEMENTED), (D.CLOSE, S.REINSPECTED)]
)
@pytest.mark.parametrize(
    ("readings", "problem"),
    [
        (None, "Name the inspection with the new readings."),
        (replace(GOOD, on_step=False), "is of another step"),
        (replace(GOOD, standing=False), "no longer stands"),
        (replace(GOOD, conforms=False), "does not conform"),
        (replace(GOOD, later=False), "none of a later series"),
        (CORRECTED, "none of a later series"),
    ],
)
def test_work_is_verified_by_new_conforming_readings_that_stand(
    deed: ReportDeed,
    state: ReportState,
    disposition: Disposition,
    readings: NamedReadings | None,
    problem: str,
) -> None:
    (said,) = refusals(deed, N, state, disposition=disposition, readings=readings)

    assert problem in said
    assert refusals(deed, N, state, disposition=disposition, readings=GOOD) == []


@pytest.mark.parametrize("state", [S.OPEN, S.CONTAINED, S.PROPOSED, S.APPROVED, S.IMPLEMENTED])
@pytest.mark.parametrize(
    ("readings", "problem"),
    [
        (None, "Name the inspection that corrects"),
        (replace(CORRECTED, on_step=False), "is of another step"),
        (replace(CORRECTED, standing=False), "no longer stands"),
        (replace(CORRECTED, conforms=False), "does not conform"),
        (GOOD, "corrects none of the readings"),
    ],
)
def test_only_a_corrected_reading_that_conforms_closes_what_was_written_wrongly(
    state: ReportState, readings: NamedReadings | None, problem: str
) -> None:
    (said,) = refusals(D.CLOSE, N, state, chosen=W.CORRECTION, readings=readings)

    assert problem in said
    assert refusals(D.CLOSE, N, state, chosen=W.CORRECTION, readings=CORRECTED) == []


def test_a_concession_is_for_the_verdict_that_was_looked_at() -> None:
    stand = {"disposition": W.USE_AS_IS, "concession": GRANT, "covers_standing": False}

    (said,) = refusals(D.APPROVE, C, S.PROPOSED, **stand)

    assert "Another verdict stands by now" in said
    assert refusals(D.APPROVE, C, S.PROPOSED, **stand | {"disposition": W.REPAIR}) == []


@pytest.mark.parametrize(
    ("facts", "problem"),
    [
        ({"granted": None}, "No concession was granted."),
        ({"granted": replace(GRANT, until=YESTERDAY)}, "expired on 2026-05-11"),
        ({"covers_standing": False}, "Another verdict stands"),
        ({"proposed_by": 3}, "another person decides"),
    ],
)
@pytest.mark.parametrize("party", [N, C])
def test_use_as_is_is_closed_on_a_concession_in_force(
    party: Party, facts: dict[str, Any], problem: str
) -> None:
    stand: dict[str, Any] = {"disposition": W.USE_AS_IS, "granted": GRANT}

    assert refusals(D.CLOSE, party, S.APPROVED, **stand) == []
    (said,) = refusals(D.CLOSE, party, S.APPROVED, **stand | facts)
    assert problem in said


def test_all_reasons_are_said_at_once() -> None:
    said = refusals(D.APPROVE, C, S.PROPOSED, disposition=W.USE_AS_IS, proposed_by=3)

    assert len(said) == 3


def test_a_deed_out_of_turn_names_the_state_and_the_disposition() -> None:
    assert refusals(D.IMPLEMENT, K, S.APPROVED, disposition=W.USE_AS_IS) == [
        "The report (use as is) is approved: you cannot implement it now."
    ]
    assert refusals(D.APPROVE, C, S.OPEN) == ["The report is open: you cannot approve it now."]
