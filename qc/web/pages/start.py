"""The page on which the contractor starts a repair."""

from typing import Any

from django.urls import reverse

from qc.engine.plan import Party
from qc.web.forms.start import StartForm


def start_page(form: StartForm) -> dict[str, Any]:
    """Everything the template writes."""
    firms = {str(project.organisation_of(Party.CONTRACTOR)) for project in form.projects}
    return {
        "party": f"{Party.CONTRACTOR.capitalize()}, {', '.join(sorted(firms))}",
        "crumbs": [{"label": "Repairs", "url": reverse("home")}, {"label": "New repair"}],
        "form": form,
        "tags": form.tags,
    }
