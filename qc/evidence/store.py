"""Files by content hash. A file is whole before its name exists, and its name is its digest."""

import hashlib
import os
import tempfile
from pathlib import Path
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, storages


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
    """The content kept under `sha256`. FileNotFoundError if there is none."""
    with storages["evidence"].open(_place(sha256)) as file:
        return bytes(file.read())


def _place(sha256: str) -> str:
    return f"{sha256[:2]}/{sha256[2:]}"
