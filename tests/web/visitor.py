"""A person at the pages without a browser: signed in, reading a form, sending it with entries."""

from html import unescape
from typing import Any

from django import forms
from django.test import Client
from django.utils.html import strip_tags

from qc.accounts.models import User
from qc.web.forms.boxes import Boxes


def signed_in(user: User) -> Client:
    """A client on which `user` is signed in."""
    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    return client


def sent(form: forms.Form, **typed: Any) -> dict[str, Any]:
    """What a browser sends for `form` as the page shows it, with `typed` entered by field name.

    A list of figures is entered as a list, one a box.
    """
    data: dict[str, Any] = {}
    for field in form:
        value = typed.pop(field.name.replace("-", "_"), field.value())
        if isinstance(field.field.widget, Boxes):
            data |= {f"{field.name}_{number}": text for number, text in enumerate(value or [""])}
        elif value is not None:
            data[field.name] = field.field.widget.format_value(value) or ""
            if isinstance(value, list):
                data[field.name] = value
    assert not typed, f"the form has no field {', '.join(typed)}"
    return data


def enter(client: Client, address: str, **typed: Any) -> Any:
    """Open a page, enter `typed` in its form and send it; the answer, with redirects followed."""
    form = client.get(address).context["form"]
    return client.post(address, sent(form, **typed), follow=True)


def text_of(response: Any) -> str:
    """The page's words, tags and spacing left out."""
    words = unescape(strip_tags(response.content.decode()))
    return " ".join(words.replace("\N{NO-BREAK SPACE}", " ").split())
