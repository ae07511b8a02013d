"""Answering with a kept file: shown or saved under its own name, never run, never cached."""

import re
from urllib.parse import quote

from django.http import HttpResponse

from qc.evidence.store import fetch

_SUFFIXES = {
    "image/jpeg": (".jpg", ".jpeg"),
    "image/png": (".png",),
    "application/pdf": (".pdf",),
}
_SHOWN_IN_PLACE = ("image/jpeg", "image/png")


def kept_file(sha256: str, content_type: str, filename: str) -> HttpResponse:
    """The content kept under `sha256`; a picture may be shown in place, all else is saved.

    The browser is told to take the type as it is and to let the file do nothing. The caller has
    checked that the person may see it. NotAsKept if the store does not hold it any more.
    """
    kind = "inline" if content_type in _SHOWN_IN_PLACE else "attachment"
    return HttpResponse(
        fetch(sha256),
        headers={
            "Content-Type": content_type,
            "Content-Disposition": f"{kind}; {_named(_suffixed(filename, content_type))}",
            "Content-Security-Policy": "sandbox; default-src 'none'",
            "X-Content-Type-Options": "nosniff",
            "Cache-Control": "private, no-store",
        },
    )


def _suffixed(filename: str, content_type: str) -> str:
    """The name with an ending that says what the file is, whatever it was called."""
    endings = _SUFFIXES[content_type]
    return filename if filename.lower().endswith(endings) else f"{filename}{endings[0]}"


def _named(filename: str) -> str:
    """The parameters that name a file: plain letters for old readers, the true name beside it."""
    printable = "".join(sign for sign in filename if sign.isprintable())
    plain = re.sub(r"[^A-Za-z0-9 ._()-]", "_", printable)
    return f"filename=\"{plain}\"; filename*=UTF-8''{quote(printable, safe='', errors='replace')}"
