"""Files by content hash. A file is whole before its name exists, and its name is its digest."""

import errno
import hashlib
import os
import re
import tempfile
from pathlib import Path
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, storages


class NotAsKept(OSError):
    """The store no longer holds what was kept under a digest."""


class Damaged(NotAsKept):
    """There is another content under the digest."""

    def __init__(self, sha256: str) -> None:
        super().__init__(errno.EIO, "the file was changed in the store", sha256)


class Lost(NotAsKept):
    """There is nothing under the digest."""

    def __init__(self, sha256: str) -> None:
        super().__init__(errno.ENOENT, "the file is missing from the store", sha256)


class ContentStorage(FileSystemStorage):
    """A folder in which a file is written aside, synced and renamed; never overwritten."""

    def _save(self, name: str, content: Any) -> str:
        target = Path(self.path(name))
        target.parent.mkdir(parents=True, exist_ok=True)
        handle, aside = tempfile.mkstemp(dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            for chunk in content.chunks():
                file.write(chunk)
            file.flush()
            os.fsync(file.fileno())
        os.replace(aside, target)
        return name

    def get_available_name(self, name: str, max_length: int | None = None) -> str:
        """The name itself: the same content may be written twice without harm."""
        return name


def keep(content: bytes) -> str:
    """Store `content` and return its SHA-256; the same content is kept once."""
    sha256 = hashlib.sha256(content).hexdigest()
    storage = storages["evidence"]
    if not storage.exists(_place(sha256)):
        storage.save(_place(sha256), ContentFile(content))
    return sha256


def fetch(sha256: str) -> bytes:
    """The content kept under `sha256`. Lost if there is none.

    Damaged if it is not the content with that digest: altered bytes are never handed on.
    """
    if not re.fullmatch("[0-9a-f]{64}", sha256):
        raise Lost(sha256)
    try:
        with storages["evidence"].open(_place(sha256)) as file:
            content = bytes(file.read())
    except FileNotFoundError:
        raise Lost(sha256) from None
    if hashlib.sha256(content).hexdigest() != sha256:
        raise Damaged(sha256)
    return content


def _place(sha256: str) -> str:
    return f"{sha256[:2]}/{sha256[2:]}"
