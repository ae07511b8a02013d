"""The life of a repair's record: statuses, acts, parties and guards, in one table."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from qc.engine.plan import Blocker, OpenReport, Party, StepFacts, holds_before, open_items


class Status(StrEnum):
    """Where the record stands."""

    PLANNED = "planned"
    ON_SITE = "on_site"
    INSPECTED = "inspected"
    WITH_CLIENT = "with_client"
    APPROVED = "approved"
    RELEASED = "released"


class Act(StrEnum):
    """Everything a person can do to a repair's record."""

    START_REPAIR = "start_repair"
    REVISE_PLAN = "revise_plan"
    COMMENT_PLAN = "comment_plan"
    AGREE_PLAN = "agree_plan"
    RECORD_INSPECTION = "record_inspection"
    CORRECT_INSPECTION = "correct_inspection"
    ADD_EVIDENCE = "add_evidence"
    GIVE_NOTICE = "give_notice"
    ACCEPT_NOTICE = "accept_notice"
    CLOSE_POINT = "close_point"
    REPORT_NONCONFORMANCE = "report_nonconformance"
    HANDLE_NONCONFORMANCE = "handle_nonconformance"
    DOUBT_READINGS = "doubt_readings"
    SIGN_INSPECTION = "sign_inspection"
    SIGN_WORK = "sign_work"
    SIGN_APPROVAL = "sign_approval"
    RETURN_REPAIR = "return_repair"
    RELEASE_CERTIFICATE = "release_certificate"
    SET_NEXT_INSPECTION = "set_next_inspection"


class RegisterAct(StrEnum):
    """Everything a person can enter in a project's register."""

    ADD_INSTRUMENT = "add_instrument"
    ADD_CALIBRATION = "add_calibration"
    CHECK_INSTRUMENT = "check_instrument"
    WITHDRAW_CALIBRATION = "withdraw_calibration"
    ADD_DATA_SHEET = "add_data_sheet"
    ADD_BATCH = "add_batch"
    RECALL_BATCH = "recall_batch"
    ADD_QUALIFICATION = "add_qualification"
    SAVE_TEMPLATE = "save_template"


class Refused(Exception):
    """The act may not happen; `reasons` holds every reason at once."""

    def __init__(self, *reasons: Blocker) -> None:
        super().__init__(" ".join(reason.statement for reason in reasons))
        self.reasons = reasons


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What the guards may ask of a repair. `signatures` maps a party to its signer's id.

    `at` is the moment of the act and `day` that day at the site.
    """

    steps: tuple[StepFacts, ...] = ()
    reports: tuple[OpenReport, ...] = ()
    at: datetime | None = None
    day: date | None = None
    signatures: Mapping[Party, int] = field(default_factory=dict)
    actor: int = 0
    position: int | None = None
    digest_holds: bool = True


Guard = Callable[[Facts], tuple[Blocker, ...]]


def nothing_open(facts: Facts) -> tuple[Blocker, ...]:
    """No step, point, evidence, instrument, batch or nonconformance report stands open."""
    return open_items(facts.steps, facts.reports, facts.day)


def no_hold_before(facts: Facts) -> tuple[Blocker, ...]:
    """No point of an earlier step stops the work."""
    return holds_before(facts.steps, facts.position, facts.at) if facts.position else ()


def another_person(facts: Facts) -> tuple[Blocker, ...]:
    """Nobody signs for two parties."""
    if facts.actor not in facts.signatures.values():
        return ()
    return (
        repair_blocker(
            "signature", "You have signed for another party; nobody approves their own work."
        ),
    )


def all_signed(facts: Facts) -> tuple[Blocker, ...]:
    """The three parties have signed, and what they signed is what the record holds now."""
    missing = tuple(
        repair_blocker("signature", f"The signature of the {party} is missing.", party)
        for party in Party
        if party not in facts.signatures
    )
    if missing or facts.digest_holds:
        return missing
    return (repair_blocker("signature", "The record has changed since it was signed."),)


def repair_blocker(rule: str, statement: str, party: Party = Party.INSPECTOR) -> Blocker:
    """A reason that concerns the repair as a whole."""
    return Blocker(rule=rule, statement=statement, step=None, place="sign", party=party)


@dataclass(frozen=True)
class Transition:
    """From a status, an act by one of the parties leads to a status, unless a guard objects."""

    before: Status
    act: Act
    after: Status
    parties: frozenset[Party]
    unless: tuple[Guard, ...] = ()

    @property
    def voids_signatures(self) -> bool:
        """True where the record leaves the hands of those who sign it."""
        return self.before in _BEING_SIGNED and self.after is Status.ON_SITE


_BEING_SIGNED = frozenset({Status.INSPECTED, Status.WITH_CLIENT, Status.APPROVED})
_INSPECTOR = frozenset({Party.INSPECTOR})
_CONTRACTOR = frozenset({Party.CONTRACTOR})
_CLIENT = frozenset({Party.CLIENT})
_BUILDERS = _INSPECTOR | _CONTRACTOR
_ANYBODY = _BUILDERS | _CLIENT
_S, _A = Status, Act

TRANSITIONS = (
    Transition(_S.PLANNED, _A.REVISE_PLAN, _S.PLANNED, _CONTRACTOR),
    Transition(_S.PLANNED, _A.COMMENT_PLAN, _S.PLANNED, _ANYBODY),
    Transition(_S.PLANNED, _A.ADD_EVIDENCE, _S.PLANNED, _BUILDERS),
    Transition(_S.PLANNED, _A.AGREE_PLAN, _S.ON_SITE, _CLIENT),
    # On site the plan in force stays until the client agrees the revision.
    Transition(_S.ON_SITE, _A.REVISE_PLAN, _S.ON_SITE, _CONTRACTOR),
    Transition(_S.ON_SITE, _A.COMMENT_PLAN, _S.ON_SITE, _ANYBODY),
    Transition(_S.ON_SITE, _A.AGREE_PLAN, _S.ON_SITE, _CLIENT),
    Transition(_S.ON_SITE, _A.RECORD_INSPECTION, _S.ON_SITE, _INSPECTOR, (no_hold_before,)),
    Transition(_S.ON_SITE, _A.CORRECT_INSPECTION, _S.ON_SITE, _INSPECTOR),
    Transition(_S.ON_SITE, _A.ADD_EVIDENCE, _S.ON_SITE, _BUILDERS),
    Transition(_S.ON_SITE, _A.GIVE_NOTICE, _S.ON_SITE, _BUILDERS),
    Transition(_S.ON_SITE, _A.ACCEPT_NOTICE, _S.ON_SITE, _ANYBODY),
    Transition(_S.ON_SITE, _A.CLOSE_POINT, _S.ON_SITE, _ANYBODY),
    Transition(_S.ON_SITE, _A.REPORT_NONCONFORMANCE, _S.ON_SITE, _ANYBODY),
    Transition(_S.ON_SITE, _A.HANDLE_NONCONFORMANCE, _S.ON_SITE, _ANYBODY),
    Transition(_S.ON_SITE, _A.DOUBT_READINGS, _S.ON_SITE, _BUILDERS),
    Transition(_S.ON_SITE, _A.SIGN_INSPECTION, _S.INSPECTED, _INSPECTOR, (nothing_open,)),
    Transition(_S.INSPECTED, _A.RETURN_REPAIR, _S.ON_SITE, _CONTRACTOR),
    Transition(
        _S.INSPECTED, _A.SIGN_WORK, _S.WITH_CLIENT, _CONTRACTOR, (nothing_open, another_person)
    ),
    Transition(_S.WITH_CLIENT, _A.RETURN_REPAIR, _S.ON_SITE, _CLIENT),
    Transition(
        _S.WITH_CLIENT, _A.SIGN_APPROVAL, _S.APPROVED, _CLIENT, (nothing_open, another_person)
    ),
    # A record that changed once approved cannot be released: it goes back to be signed anew.
    Transition(_S.APPROVED, _A.RETURN_REPAIR, _S.ON_SITE, _CLIENT),
    Transition(
        _S.APPROVED, _A.RELEASE_CERTIFICATE, _S.RELEASED, _CLIENT, (nothing_open, all_signed)
    ),
    # What comes to light while the record is being signed takes it back to site.
    *(
        Transition(status, act, _S.ON_SITE, parties)
        for status in (_S.INSPECTED, _S.WITH_CLIENT, _S.APPROVED)
        for act, parties in (
            (_A.CORRECT_INSPECTION, _INSPECTOR),
            (_A.REPORT_NONCONFORMANCE, _ANYBODY),
            (_A.DOUBT_READINGS, _BUILDERS),
        )
    ),
    # What comes to light later puts the certificate under review until the report is closed.
    Transition(_S.RELEASED, _A.REPORT_NONCONFORMANCE, _S.RELEASED, _ANYBODY),
    Transition(_S.RELEASED, _A.HANDLE_NONCONFORMANCE, _S.RELEASED, _ANYBODY),
    Transition(_S.RELEASED, _A.DOUBT_READINGS, _S.RELEASED, _BUILDERS),
    # The day of the next inspection is the owner's to set, but not while the record is signed.
    *(
        Transition(status, _A.SET_NEXT_INSPECTION, status, _CLIENT)
        for status in (_S.PLANNED, _S.ON_SITE, _S.RELEASED)
    ),
)

REGISTER_ACTS: Mapping[RegisterAct, frozenset[Party]] = {
    RegisterAct.ADD_INSTRUMENT: _BUILDERS,
    RegisterAct.ADD_CALIBRATION: _BUILDERS,
    RegisterAct.CHECK_INSTRUMENT: _BUILDERS,
    RegisterAct.WITHDRAW_CALIBRATION: _BUILDERS,
    RegisterAct.ADD_DATA_SHEET: _BUILDERS,
    RegisterAct.ADD_BATCH: _BUILDERS,
    RegisterAct.RECALL_BATCH: _BUILDERS,
    RegisterAct.ADD_QUALIFICATION: _BUILDERS,
    RegisterAct.SAVE_TEMPLATE: _CONTRACTOR,
}
"""Who may enter what in a project's register. An entry there changes no repair's status."""


def decide(status: Status, act: Act, party: Party, facts: Facts) -> Transition:
    """The transition that `act` makes, or Refused with every reason at once."""
    candidates = [t for t in TRANSITIONS if t.before is status and t.act is act]
    if not candidates:
        raise Refused(_wrong_status(status, act))
    transition = candidates[0]
    if party not in transition.parties:
        raise Refused(_wrong_party(transition, party))
    reasons = tuple(reason for guard in transition.unless for reason in guard(facts))
    if reasons:
        raise Refused(*reasons)
    return transition


def acts_open_to(status: Status, party: Party) -> frozenset[Act]:
    """The acts that `party` has at `status`, whether or not a guard objects now."""
    return frozenset(t.act for t in TRANSITIONS if t.before is status and party in t.parties)


def reasons_against(status: Status, act: Act, party: Party, facts: Facts) -> tuple[Blocker, ...]:
    """Why `act` would be refused now; empty if it would succeed."""
    try:
        decide(status, act, party, facts)
    except Refused as refused:
        return refused.reasons
    return ()


def _words(code: str) -> str:
    return code.replace("_", " ")


def _wrong_status(status: Status, act: Act) -> Blocker:
    return repair_blocker("status", f"The repair is {_words(status)}: it cannot {_words(act)} now.")


def _wrong_party(transition: Transition, party: Party) -> Blocker:
    entitled = " or ".join(sorted(transition.parties))
    statement = f"The {party} cannot {_words(transition.act)}; the {entitled} can."
    return repair_blocker("party", statement, sorted(transition.parties)[0])
