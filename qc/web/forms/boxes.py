"""A list of figures entered in a row of boxes, as many as were sent and at least some."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.html import format_html_join
from django.utils.safestring import SafeString


class Boxes(forms.MultiWidget):
    """One box a figure. Its value is the list of texts, whatever number of boxes was sent."""

    def __init__(self, label: str, count: int, attributes: Mapping[str, str]) -> None:
        self.label = label
        self.each = dict(attributes)
        self.count = count
        super().__init__([], {"data-unit": self.each.get("data-unit", "")})
        self._make(count)

    def _make(self, count: int) -> None:
        unit = self.each.get("data-unit")
        said = f", in {unit}" if unit else ""
        self.widgets = [
            forms.TextInput({**self.each, "aria-label": f"{self.label} {number}{said}"})
            for number in range(1, count + 1)
        ]
        self.widgets_names = [f"_{index}" for index in range(count)]

    def make_room(self, texts: Sequence[str], more: int) -> None:
        """Leave boxes free behind `texts`, `more` of them where all are taken."""
        taken = len([text for text in texts if text.strip()])
        self.count = max(self.count, len(texts), taken + (more if taken >= len(texts) else 0))

    def decompress(self, value: Any) -> list[str]:
        """The texts, one a box."""
        return [value] if isinstance(value, str) else list(value or ())

    def get_context(self, name: str, value: Any, attrs: Any) -> dict[str, Any]:
        texts = self.decompress(value)
        self._make(max(self.count, len(texts)))
        return super().get_context(name, texts, attrs)

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        """Each box in a part of its own, so that what belongs to it wraps with it."""
        parts = self.get_context(name, value, attrs)["widget"]["subwidgets"]
        inputs = [
            (box.render(part["name"], part["value"], part["attrs"], renderer),)
            for box, part in zip(self.widgets, parts, strict=True)
        ]
        return format_html_join("", '<span class="part">{}</span>', inputs)

    def value_from_datadict(self, data: Mapping[str, Any], files: Any, name: str) -> list[str]:
        texts: list[str] = []
        while (text := data.get(f"{name}_{len(texts)}")) is not None:
            texts.append(text)
        return texts

    def value_omitted_from_data(self, data: Mapping[str, Any], files: Any, name: str) -> bool:
        return f"{name}_0" not in data
