"""One byte form for one content: RFC 8785 JSON over NFC text, with no binary floats."""

import hashlib
import unicodedata
from datetime import UTC, datetime
from typing import Any

import rfc8785


def canonical(content: Any) -> bytes:
    """The canonical bytes of JSON-like `content`. TypeError on a float: decimals travel as text."""
    return rfc8785.dumps(_plain(content))


def digest(content: Any) -> str:
    """SHA-256 of the canonical bytes, in hexadecimal."""
    return hashlib.sha256(canonical(content)).hexdigest()


def utc_text(moment: datetime) -> str:
    """A moment in UTC to the microsecond, the same on every database."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def _plain(content: Any) -> Any:
    if isinstance(content, str):
        return unicodedata.normalize("NFC", content)
    if isinstance(content, dict):
        return {_plain(str(name)): _plain(value) for name, value in content.items()}
    if isinstance(content, list | tuple):
        return [_plain(item) for item in content]
    if isinstance(content, float):
        raise TypeError("a float has no exact text; write the decimal as a string")
    return content
