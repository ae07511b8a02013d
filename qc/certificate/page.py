"""The certificate's page: a snapshot turned into what the templates lay out. No rows, no clock."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import segno
from django.template.loader import get_template

from qc.certificate.about import about_view
from qc.certificate.letters import legible
from qc.certificate.reports import concessions_in, report_views
from qc.certificate.site import Site, grouped, quantity, utc, utc_iso
from qc.certificate.steps import step_view
from qc.certificate.summary import scope_of, stamp_of
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.plan import Hours, Intervention, Party

SHORT = 16
"""How many signs of a digest stand at the foot of every page."""


@dataclass(frozen=True)
class SignatureView:
    """A signature as it is manifested: who, for whom, meaning what, when, on what."""

    party: str
    printed_name: str
    organisation: str
    meaning: str
    local: str
    clock: str
    utc: str
    digest: str
    is_on_this_record: bool


@dataclass(frozen=True)
class File:
    """A piece of evidence."""

    position: int
    filename: str
    caption: str
    kind: str
    size: str
    by: str
    at: str
    digest: str


@dataclass(frozen=True)
class Caution:
    """A caution, and of which steps."""

    text: str
    steps: str


def render_html(snapshot: Mapping[str, Any]) -> str:
    """The HTML of the certificate of a snapshot, from the snapshot alone."""
    html: str = get_template("certificate/certificate.html").render(view_of(snapshot))
    return html


def view_of(snapshot: Mapping[str, Any]) -> dict[str, Any]:
    """What the templates lay out."""
    printed = legible(snapshot)
    record, certificate = printed["record"], printed["certificate"]
    site = Site.of(snapshot["record"])
    codes = {each: terms["code"] for each, terms in record["plan"]["terms"].items()}
    steps = [step_view(step, site, codes) for step in record["steps"]]
    reports = report_views(record, site)
    return {
        **_titles(record, certificate, site),
        "site": site,
        "stamp": stamp_of(steps),
        "scopes": [scope_of(v, s, site) for v, s in zip(steps, record["steps"], strict=True)],
        "steps": steps,
        "files": list(_files(record, site)),
        "reports": reports,
        "concessions": concessions_in(reports),
        "signatures": list(_signatures(printed, site)),
        "returns": [_returned(returned, site) for returned in record["returns"]],
        "terms": list(_terms(record["plan"])),
        "plan_revisions": [
            one | {"agreed": _agreed(one, site)} for one in record.get("plan_revisions", ())
        ],
        "removed_steps": record.get("removed_steps", ()),
        "cautions": list(_cautions(record)),
        "record_digest": grouped(printed["record_digest"]),
        "short_digest": grouped(printed["record_digest"][:SHORT]),
        "rest_of_digest": " " + grouped(printed["record_digest"][SHORT:]),
        "ledger_length": printed["ledger"]["length"],
        "ledger_head": grouped(printed["ledger"]["head"]),
        "engine": printed["engine"],
        "spelled_out": printed != dict(snapshot),
    }


def _titles(
    record: Mapping[str, Any], certificate: Mapping[str, Any], site: Site
) -> dict[str, Any]:
    issued_at = certificate["issued_at"]
    return {
        "number": certificate["number"],
        "revision": certificate["revision"],
        "check_code": certificate.get("check_code", ""),
        "check_address": certificate.get("check_address", ""),
        "check_picture": _picture_of(certificate.get("check_address", "")),
        "issued": site.moment(issued_at),
        "issued_clock": site.clock(issued_at),
        "issued_utc": utc(issued_at),
        "issued_iso": utc_iso(issued_at),
        "project": record["project"],
        "parties": [(str(p).capitalize(), record["project"]["parties"][p]) for p in Party],
        "repair": record["repair"],
        **about_view(record["repair"]),
        "plan": record["plan"] | {"drafted": site.moment(record["plan"]["drafted_at"])},
        "agreed": _agreed(record["plan"], site),
    }


def _picture_of(address: str) -> str:
    """A QR code of an address as a `data:` address of its own; "" for none."""
    return segno.make(address, error="m").svg_data_uri(border=2) if address else ""


def _agreed(plan: Mapping[str, Any], site: Site) -> str:
    """Who agreed the plan and when, where the record says so."""
    by, at = plan.get("agreed_by"), plan.get("agreed_at")
    return f"{by}, {site.moment(at)}" if by and at else ""


def _signatures(snapshot: Mapping[str, Any], site: Site) -> Iterator[SignatureView]:
    for one in snapshot["signatures"]:
        yield SignatureView(
            party=one["party"].capitalize(),
            printed_name=one["printed_name"],
            organisation=one["organisation"],
            meaning=one["meaning"],
            local=site.moment(one["signed_at"]),
            clock=site.clock(one["signed_at"]),
            utc=utc(one["signed_at"]),
            digest=grouped(one["record_digest"]),
            is_on_this_record=one["record_digest"] == snapshot["record_digest"],
        )


def _terms(plan: Mapping[str, Any]) -> Iterator[dict[str, str]]:
    """The plan's code and wording of each intervention, with the notice that it asks for."""
    for each in Intervention:
        stated = plan["terms"][each]
        said = [stated["wording"]]
        if stated["notice"]:
            counted = " of working time" if stated["hours"] == Hours.WORKING else ""
            said.append(f"notice {quantity(stated['notice'])}{counted} ({stated['source']})")
        if stated["lapses"]:
            said.append("lapses after the moment of the notice")
        yield {"code": stated["code"], "says": "; ".join(said)}


def _files(record: Mapping[str, Any], site: Site) -> Iterator[File]:
    for step in record["steps"]:
        for one in step["evidence"]:
            yield File(
                position=step["position"],
                filename=one["filename"],
                caption=one["caption"],
                kind=_KINDS.get(one["content_type"], one["content_type"]),
                size=_size(one["size"]),
                by=f"{one['by']} ({one['party']})",
                at=site.moment(one["at"]),
                digest=grouped(one["sha256"]),
            )


_KINDS = {"image/jpeg": "photograph", "image/png": "picture", "application/pdf": "document"}


def _size(count: int) -> str:
    """A count of bytes: "1 448 kB"; the digest, not this, identifies the file."""
    return f"{max(1, round(count / 1000)):,} kB".replace(",", "\N{NARROW NO-BREAK SPACE}")


def _returned(returned: Mapping[str, Any], site: Site) -> dict[str, str]:
    return {
        "at": site.moment(returned["at"]),
        "by": f"{returned['by']} ({returned['party']})",
        "reason": returned["reason"],
    }


def _cautions(record: Mapping[str, Any]) -> Iterator[Caution]:
    """The cautions of the plan, of its steps and of what they check; each once."""
    for text in record["plan"]["cautions"]:
        yield Caution(text, "")
    by_text: dict[str, list[int]] = {}
    for step in record["steps"]:
        declared: Sequence[str] = CHARACTERISTICS[step["characteristic"]].cautions
        for text in dict.fromkeys([*step["cautions"], *declared]):
            by_text.setdefault(text, []).append(step["position"])
    for text, positions in by_text.items():
        if text not in record["plan"]["cautions"]:
            noun = "step" if len(positions) == 1 else "steps"
            numbers = ", ".join(map(str, positions))
            yield Caution(text, f"{noun}\N{NO-BREAK SPACE}{numbers}")
