"""Working as the role that owns the tables, for as long as a migration takes."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from django.conf import settings
from django.db import connections

from qc.management.one_line import BadUse

_WHO = ("USER", "PASSWORD")
_WHERE = ("ENGINE", "HOST", "PORT")


@contextmanager
def as_owner(alias: str) -> Iterator[None]:
    """Connect as `DATABASE_OWNER_URL` says; without one, as ever. BadUse if it leads elsewhere."""
    owner: Mapping[str, Any] | None = settings.DATABASE_OWNER
    if owner is None:
        yield
        return
    connection = connections[alias]
    web: dict[str, Any] = connection.settings_dict
    # The name is left alone: that of the tests' database is made up.
    if any((owner.get(name) or "") != (web.get(name) or "") for name in _WHERE):
        raise BadUse("DATABASE_OWNER_URL and DATABASE_URL must lead to the same database.")
    connection.close()
    connection.settings_dict = web | {name: owner[name] for name in _WHO}
    try:
        yield
    finally:
        connection.close()
        connection.settings_dict = web
