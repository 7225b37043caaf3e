"""How our forms are laid out: dates and times as the phone's own pickers, fields under headings."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _

from barnrugs.barns import days
from barnrugs.barns.forms.basis import Form


class DateInput(forms.DateInput):
    input_type = "date"

    def __init__(self, **attrs: Any) -> None:
        super().__init__(attrs=attrs, format="%Y-%m-%d")


class DayField(forms.DateField):
    """A day that somebody can mean."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"widget": DateInput(), **kwargs})

    def to_python(self, value: Any) -> date | None:
        day = super().to_python(value)
        if day is not None and not days.is_meant(day):
            raise forms.ValidationError(
                _("From %(first)d to %(last)d.") % {"first": days.EARLIEST.year, "last": days.LATEST.year}
            )
        return day


class TimeInput(forms.TimeInput):
    input_type = "time"

    def __init__(self, **attrs: Any) -> None:
        super().__init__(attrs=attrs, format="%H:%M")


def decimal(**attrs: Any) -> forms.TextInput:
    """A figure that may have a fraction: the phone shows its number keys, a comma is taken too."""
    return forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", **attrs})


class FigureField(forms.FloatField):
    """A figure as people write it: with a point or a comma."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"widget": decimal(), **kwargs})

    def to_python(self, value: Any) -> float | None:  # type: ignore[override]  # the stubs derive floats from integers
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)

    def prepare_value(self, value: Any) -> Any:
        return f"{value:.10g}" if isinstance(value, float) else value

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {}


@dataclass(frozen=True)
class Section:
    title: str
    fields: list[BoundField]


class Sectioned(Form):
    """Names each field's heading in `headings`; fields under no heading come last."""

    headings: ClassVar[tuple[tuple[Any, tuple[str, ...]], ...]] = ()

    def sections(self) -> Iterator[Section]:
        left = {field.name: field for field in self.visible_fields()}
        for title, names in self.headings:
            yield Section(title, [left.pop(name) for name in names if name in left])
        if left:
            yield Section("", list(left.values()))
