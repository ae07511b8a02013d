"""The page on which the contractor starts a repair."""

from collections.abc import Sequence
from typing import Any

from django.urls import reverse

from qc.accounts.models import Project
from qc.engine.plan import Party
from qc.records.models import Asset
from qc.records.particulars import NO_DESIGN
from qc.web.forms.start import Choice, StartForm
from qc.web.pages.about import component_shown
from qc.web.pages.component import component_url, history_of, repairs_listed


def start_page(form: StartForm, choice: Choice, projects: Sequence[Project]) -> dict[str, Any]:
    """Everything the template writes."""
    firms = {str(project.organisation_of(Party.CONTRACTOR)) for project in projects}
    return {
        "party": f"{Party.CONTRACTOR.capitalize()}, {', '.join(sorted(firms))}",
        "crumbs": [{"label": "Repairs", "url": reverse("home")}, {"label": "New repair"}],
        "form": form,
        "no_design": NO_DESIGN,
        "choice": choice,
        "tags": _tags(projects),
        "candidates": _candidates(choice),
        **(_known(choice.known) if choice.known else {}),
    }


def _known(component: Asset) -> dict[str, Any]:
    """A component on record: its facts, and the repairs it has had."""
    return {
        "known": component,
        "known_facts": [
            *component_shown(component),
            {"term": "Project", "definition": str(component.project)},
        ],
        "known_url": component_url(component),
        "earlier": repairs_listed(history_of(component)),
    }


def _candidates(choice: Choice) -> list[dict[str, str]]:
    """The components of one tag, to choose between."""
    if choice.known:
        return []
    return [
        {
            "title": f"{found.tag} {found.description}".strip(),
            "url": f"{reverse('start_repair')}?component={found.pk}",
            "say": str(found.project),
        }
        for found in choice.found
    ]


def _tags(projects: Sequence[Project]) -> list[str]:
    """The tags of components on record, to choose from."""
    known = Asset.objects.filter(project__in=projects).order_by("tag")
    return list(known.values_list("tag", flat=True).distinct())
