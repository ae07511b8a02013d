"""The rows that entries state, read from the tables again."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.apps import apps
from django.db.models import F, Model, Q, QuerySet

from qc.ledger.chain import Chain
from qc.ledger.models import Checkpoint, Entry, Kind
from qc.ledger.sealed import Sealed
from qc.ledger.statement import table_of

_SUBJECTS = {"repair": Kind.REPAIR, "project": Kind.REGISTER}
_AT_ONCE = 500


@dataclass(frozen=True)
class Scope:
    """Which chains are looked at: those of these repairs and of these projects' registers.

    None stands for all of them.
    """

    repairs: frozenset[int] | None = None
    projects: frozenset[int] | None = None

    def entries(self) -> QuerySet[Entry]:
        """The entries of these chains, each chain's together and in order."""
        wanted = Q()
        for kind, subjects in ((Kind.REPAIR, self.repairs), (Kind.REGISTER, self.projects)):
            alone = Q(kind=kind)
            wanted |= alone if subjects is None else alone & Q(subject_id__in=subjects)
        return Entry.objects.filter(wanted).order_by("kind", "subject_id", "position")

    def rows(self, model: type[Model]) -> QuerySet[Any]:
        """The rows of `model` in these chains, each with the `subject` it belongs to."""
        kind, path = subject_of(model)
        subjects = self.repairs if kind is Kind.REPAIR else self.projects
        rows = model._default_manager.annotate(subject=F(path)).order_by("pk")
        return rows if subjects is None else rows.filter(subject__in=subjects)

    def includes(self, chain: Chain) -> bool:
        """True if `chain` is one of these."""
        subjects = self.repairs if chain.kind == Kind.REPAIR else self.projects
        return subjects is None or chain.subject_id in subjects


@dataclass(frozen=True)
class Unreadable:
    """A row whose columns no longer hold what their type can; only a raw statement does that."""

    pk: int


@cache
def stated_models() -> tuple[type[Model], ...]:
    """The sealed tables whose every row some entry states."""
    models = apps.get_app_config("qc").get_models()
    return tuple(m for m in models if issubclass(m, Sealed) and m not in (Entry, Checkpoint))


@cache
def subject_of(model: type[Model]) -> tuple[Kind, str]:
    """Whose history a row belongs to, and the way there: along the first foreign key of each."""
    if (own := _SUBJECTS.get(table_of(model))) is not None:
        return own, "pk"
    first = parent_of(model)
    target = first.related_model
    if (kind := _SUBJECTS.get(table_of(target))) is not None:
        return kind, first.attname
    kind, path = subject_of(target)
    return kind, f"{first.name}__{path}"


@cache
def parent_of(model: type[Model]) -> Any:
    """The first foreign key of a table: to what its rows belong."""
    return next(field for field in model._meta.concrete_fields if field.is_relation)


def read(rows: QuerySet[Any]) -> Iterator[Any]:
    """The rows in the order of the query; an `Unreadable` in place of one that can't be read."""
    keys = list(rows.values_list("pk", flat=True))
    for start in range(0, len(keys), _AT_ONCE):
        yield from _some(rows, keys[start : start + _AT_ONCE])


def _some(rows: QuerySet[Any], keys: list[int]) -> list[Any]:
    try:
        return list(rows.filter(pk__in=keys))
    except (TypeError, ValueError):
        if len(keys) == 1:
            return [Unreadable(keys[0])]
        return [row for key in keys for row in _some(rows, [key])]
