"""E-mail to whoever must know of an act: sent once it is on record, and never in its way."""

import logging
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from smtplib import SMTPException
from typing import Any

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.db import transaction
from django.template.loader import render_to_string
from django.urls import reverse

from qc.accounts.models import Membership
from qc.engine.lifecycle import Act
from qc.engine.plan import Party
from qc.engine.wording import weekday_text
from qc.ledger.chain import Entry
from qc.records.models import Nonconformance, Notice, NoticeAnswer, Plan, Repair

log = logging.getLogger(__name__)


@dataclass(frozen=True, kw_only=True)
class Announcement:
    """A mail to the members of some parties: the name of its text, what it says, where it leads."""

    text: str
    to: frozenset[Party]
    page: str
    position: int | None = None
    facts: Mapping[str, Any]


def announce(entry: Entry) -> None:
    """Send what the act of `entry` makes known, after commit; a mail server that is down is logged.

    Acts that concern nobody else send nothing, and so do all register acts.
    """
    if entry.act in list(Act):
        transaction.on_commit(lambda: _send(entry))


def _send(entry: Entry) -> None:
    repair = Repair.objects.select_related("project").get(pk=entry.repair_id)
    mails = [
        mail for told in announcements_of(entry, repair) for mail in _mails(told, entry, repair)
    ]
    try:
        if mails:
            get_connection().send_messages(mails)
    except (SMTPException, OSError) as problem:
        log.error("Mail on %s of %s was not sent: %s", entry.act, repair.number, problem)


def announcements_of(entry: Entry, repair: Repair) -> list[Announcement]:
    """What the act of an entry makes known."""
    source = _SOURCES.get(Act(entry.act))
    found = list(source(entry, repair)) if source else []
    return [*found, *_reports(entry, repair)]


def _notices(entry: Entry, repair: Repair) -> Iterator[Announcement]:
    notice = Notice.objects.select_related("step").get(pk=entry.stated(Notice)[0]["id"])
    yield Announcement(
        text="notice",
        to=frozenset({Party(notice.party)}),
        page="step",
        position=notice.step.position,
        facts=_of_notice(notice, repair),
    )


def _acceptances(entry: Entry, repair: Repair) -> Iterator[Announcement]:
    answer = NoticeAnswer.objects.select_related("notice__step").get(
        pk=entry.stated(NoticeAnswer)[0]["id"]
    )
    yield Announcement(
        text="acceptance",
        to=frozenset({Party.CONTRACTOR, Party.INSPECTOR}) - {Party(entry.party)},
        page="step",
        position=answer.notice.step.position,
        facts={**_of_notice(answer.notice, repair), "answer": answer},
    )


def _of_notice(notice: Notice, repair: Repair) -> dict[str, Any]:
    when = weekday_text(notice.scheduled_at, repair.project.working_hours.zone)
    return {"notice": notice, "step": notice.step, "when": when}


def _drafts(entry: Entry, repair: Repair) -> Iterator[Announcement]:
    yield Announcement(
        text="agreement",
        to=frozenset({Party.CLIENT}),
        page="plan",
        facts={"revision": entry.stated(Plan)[0]["revision"]},
    )


def _signatures(entry: Entry, repair: Repair) -> Iterator[Announcement]:
    following = {Act.SIGN_INSPECTION: Party.CONTRACTOR, Act.SIGN_WORK: Party.CLIENT}
    yield Announcement(
        text="signature", to=frozenset({following[Act(entry.act)]}), page="sign", facts={}
    )


def _reports(entry: Entry, repair: Repair) -> Iterator[Announcement]:
    """A report is made known to everybody else, whatever act opened it."""
    for stated in entry.stated(Nonconformance):
        yield Announcement(
            text="report",
            to=frozenset(Party) - {Party(entry.party)},
            page="repair",
            facts={"number": stated["number"], "statement": stated["statement"]},
        )


_Source = Callable[[Entry, Repair], Iterable[Announcement]]
_SOURCES: Mapping[Act, _Source] = {
    Act.GIVE_NOTICE: _notices,
    Act.ACCEPT_NOTICE: _acceptances,
    Act.START_REPAIR: _drafts,
    Act.REVISE_PLAN: _drafts,
    Act.SIGN_INSPECTION: _signatures,
    Act.SIGN_WORK: _signatures,
}


def _mails(told: Announcement, entry: Entry, repair: Repair) -> Iterator[EmailMessage]:
    """One mail to each active member of the parties who has an address, but not to the actor."""
    text = render_to_string(
        f"qc/mail/{told.text}.txt",
        {
            **told.facts,
            "repair": repair,
            "project": repair.project,
            "actor": entry.actor_name,
            "party": entry.party,
            "link": _link(told, repair),
        },
    )
    subject, _, body = text.strip().partition("\n")
    readers = Membership.objects.filter(
        project=repair.project_id, party__in=told.to, user__is_active=True
    ).exclude(user=entry.actor_id)
    for reader in readers.exclude(user__email="").select_related("user"):
        yield EmailMessage(" ".join(subject.split()), body.strip() + "\n", to=[reader.user.email])


def _link(told: Announcement, repair: Repair) -> str:
    """The address of the page, where it is known under which address people reach this one."""
    if not settings.PUBLIC_ADDRESS:
        return ""
    ids = [repair.pk] if told.position is None else [repair.pk, told.position]
    return f"{settings.PUBLIC_ADDRESS}{reverse(told.page, args=ids)}"
