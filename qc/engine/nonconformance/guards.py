"""What stands against a deed: each guard returns its reasons."""

from collections.abc import Callable

from qc.engine.nonconformance.states import NamedReadings, ReportFacts
from qc.engine.plan import Blocker, Party

Guard = Callable[[ReportFacts], tuple[Blocker, ...]]


def in_words(facts: ReportFacts) -> tuple[Blocker, ...]:
    """It is said what was done, is proposed, or is wrong."""
    return () if facts.text.strip() else (report_blocker("text", "Say in words what or why."),)


def proposed_by_another(facts: ReportFacts) -> tuple[Blocker, ...]:
    """Nobody decides what they proposed."""
    if facts.actor != facts.proposed_by:
        return ()
    return (
        report_blocker("person", "You proposed this disposition: another person decides on it."),
    )


def done_by_another(facts: ReportFacts) -> tuple[Blocker, ...]:
    """Nobody passes their own work."""
    if facts.actor != facts.implemented_by:
        return ()
    return (report_blocker("person", "You did this work: another person decides on it."),)


def concession_named(facts: ReportFacts) -> tuple[Blocker, ...]:
    """A concession has a scope and a last day that is not past."""
    said = facts.concession
    reasons = []
    if said is None or not said.scope.strip():
        statement = "A concession needs its scope: what is permitted, where, for which use."
        reasons.append(report_blocker("concession_scope", statement, Party.CLIENT))
    if said is None or said.until is None:
        statement = "A concession needs its last day."
        reasons.append(report_blocker("concession_until", statement, Party.CLIENT))
    elif said.until < facts.day:
        statement = f"The concession's last day {said.until} is past: today is {facts.day}."
        reasons.append(report_blocker("concession_until", statement, Party.CLIENT))
    return tuple(reasons)


def same_verdict_stands(facts: ReportFacts) -> tuple[Blocker, ...]:
    """What is conceded is the verdict that stands, and no other."""
    if facts.covers_standing:
        return ()
    statement = "Another verdict stands by now: a concession is for one verdict, look at it again."
    return (report_blocker("readings", statement, Party.CLIENT),)


def concession_in_force(facts: ReportFacts) -> tuple[Blocker, ...]:
    """The concession that was granted has not expired."""
    granted = facts.granted
    if granted and granted.until and granted.until >= facts.day:
        return ()
    until = granted.until if granted else None
    statement = f"The concession expired on {until}." if until else "No concession was granted."
    return (report_blocker("concession_until", statement, Party.CLIENT),)


def new_readings_conform(facts: ReportFacts) -> tuple[Blocker, ...]:
    """The inspection named stands, conforms, and is newer than what did not conform."""
    named = facts.readings
    if named is None:
        return (report_blocker("readings", "Name the inspection with the new readings."),)
    return _against(named) or _unless(
        named.later,
        "The inspection is none of a later series: the readings that failed are no re-inspection.",
    )


def corrected_reading_conforms(facts: ReportFacts) -> tuple[Blocker, ...]:
    """The inspection named corrects what was written wrongly, and the verdict conforms."""
    named = facts.readings
    if named is None:
        return (report_blocker("readings", "Name the inspection that corrects the reading."),)
    return _against(named) or _unless(
        named.corrects, "The inspection corrects none of the readings that this report is about."
    )


def _against(named: NamedReadings) -> tuple[Blocker, ...]:
    return (
        *_unless(named.on_step, "The inspection is of another step."),
        *_unless(named.standing, "The inspection no longer stands: a later one replaced it."),
        *_unless(named.conforms, "The verdict of the inspection does not conform."),
    )


def _unless(holds: bool, statement: str) -> tuple[Blocker, ...]:
    return () if holds else (report_blocker("readings", statement),)


def report_blocker(rule: str, statement: str, party: Party = Party.INSPECTOR) -> Blocker:
    """A reason that concerns a report."""
    return Blocker(rule=rule, statement=statement, step=None, place="report", party=party)
