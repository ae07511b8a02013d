"""What the form templates ask of a field."""

from __future__ import annotations

from django import forms, template
from django.forms.boundfield import BoundField
from django.utils.safestring import SafeString

register = template.Library()


@register.filter
def unit_of(field: BoundField) -> str:
    """The unit printed beside the box: the field's `unit`, else the widget's `data-unit`."""
    unit = getattr(field.field, "unit", None) or field.field.widget.attrs.get("data-unit")
    return str(unit or "")


@register.filter
def shape_of(field: BoundField) -> str:
    """How a field is laid out: tiles, tick, parts (several inputs) or box."""
    widget = field.field.widget
    if isinstance(widget, forms.RadioSelect):
        return "tiles"
    if isinstance(widget, forms.CheckboxInput):
        return "tick"
    if isinstance(widget, forms.MultiWidget):
        return "parts"
    return "box"


@register.filter
def first_input(field: BoundField) -> str:
    """The id of the first input of a field, where a link from the error summary lands."""
    if shape_of(field) in {"tiles", "parts"}:
        return f"{field.auto_id}_0"
    return field.id_for_label or field.auto_id


@register.simple_tag
def inputs_of(field: BoundField) -> SafeString:
    """The input of a field; where it has several, each says which part of the field it is."""
    widget = field.field.widget
    if isinstance(widget, forms.MultiWidget):
        for place, part in enumerate(widget.widgets, start=1):
            name = getattr(part, "input_type", "")
            name = name if name in {"date", "time"} else str(place)
            part.attrs.setdefault("aria-label", f"{field.label}, {name}")
    return field.as_widget()
