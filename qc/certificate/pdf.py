"""The certificate as a PDF, made in a process of its own with its own fonts and its own limits."""

import logging
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from qc.certificate.assets import FONT_CONFIGURATION
from qc.certificate.job import Enclosure, Job, Unprintable
from qc.ledger.canonical import canonical

_ROOT = Path(__file__).resolve().parents[2]
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True)
class Limits:
    """What one rendering may take: seconds by the wall clock, MiB of address space."""

    seconds: int = 120
    mebibytes: int = 3072


def render_pdf(html: str, snapshot: Mapping[str, Any], limits: Limits | None = None) -> bytes:
    """The PDF/A-3a of `html` with the record inside; the same bytes for the same snapshot.

    Unprintable if the renderer refuses, fails, or goes past its limits.
    """
    limits = limits or Limits()
    try:
        done = subprocess.run(
            _command(limits),
            input=job_of(html, snapshot).dumped(),
            capture_output=True,
            cwd=_ROOT,
            env=_environment(),
            timeout=limits.seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise Unprintable(f"it was not done after {limits.seconds} s") from None
    if done.returncode != 0 or not done.stdout.startswith(b"%PDF-"):
        said = done.stderr.decode(errors="replace").strip()
        _LOG.error("certificate not rendered (exit status %s): %s", done.returncode, said)
        raise Unprintable(said.splitlines()[-1] if said else f"status {done.returncode}")
    return done.stdout


def job_of(html: str, snapshot: Mapping[str, Any]) -> Job:
    """The page, and the record and what certifies it as two JSON files that travel inside.

    The first file's SHA-256 is the record's digest, which is what was signed.
    """
    certificate = snapshot["certificate"]
    certifying = {name: value for name, value in snapshot.items() if name != "record"}
    return Job(
        html=html,
        issued_at=certificate["issued_at"],
        enclosures=(
            Enclosure(
                name="record.json",
                description=f"The record that {certificate['number']} certifies: canonical JSON, "
                "whose SHA-256 is the digest that was signed",
                content=canonical(snapshot["record"]).decode(),
            ),
            Enclosure(
                name="certificate.json",
                description=f"Number, signatures and ledger of {certificate['number']}",
                content=canonical(certifying).decode(),
            ),
        ),
    )


def _command(limits: Limits) -> list[str]:
    press = [sys.executable, "-m", "qc.certificate.press"]
    return [*press, str(limits.seconds), str(limits.mebibytes)]


def _environment() -> dict[str, str]:
    """Nothing of the server's own environment, and none of the machine's fonts."""
    kept = {name: os.environ[name] for name in ("PATH", "LD_LIBRARY_PATH") if name in os.environ}
    return {**kept, "FONTCONFIG_FILE": str(FONT_CONFIGURATION), "LC_ALL": "C.UTF-8", "TZ": "UTC"}
