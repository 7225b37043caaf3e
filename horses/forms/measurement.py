import re
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.layout import DayField, FigureField
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from barnrugs.matching import units
from horses import sizes
from horses.enums import Clip, SizeSystem

TAPE = [("in", gettext_lazy("inches")), ("cm", gettext_lazy("centimetres"))]
LIMITS_CM = {"back_length": (50, 200), "girth": (50, 280), "body_length": (50, 280)}
LINE = [
    (SizeSystem.INCHES, gettext_lazy("Inches")),
    (SizeSystem.FEET_INCHES, gettext_lazy("Feet and inches")),
    (SizeSystem.CM_CHEST_TAIL, gettext_lazy("Centimetres")),
]


class OnADayForm(OnceForm):
    """An entry of a day that is not to come."""

    on = DayField(
        label=gettext_lazy("Day"),
        help_text=gettext_lazy("When it was done; today unless you say so."),
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["on"].initial = today

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        if on > self.today:
            raise forms.ValidationError(_("This day is still to come."))
        return on


class MeasurementForm(OnADayForm):
    size = forms.CharField(
        label=gettext_lazy("Chest to tail"),
        max_length=20,
        required=False,
        help_text=gettext_lazy(
            "Centre of the chest, round the widest part of shoulder, barrel and hip, to the centre of the tail. "
            "Write 78, 6'6 or 198 cm."
        ),
    )
    system = forms.ChoiceField(
        label=gettext_lazy("Given in"),
        choices=LINE,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("For a bare figure; a unit written beside it counts more."),
    )
    back_length = FigureField(
        label=gettext_lazy("Along the back"),
        required=False,
        help_text=gettext_lazy("Withers to the root of the tail: another line, used for sizes given along the back."),
    )
    girth = FigureField(
        label=gettext_lazy("Girth"),
        required=False,
        help_text=gettext_lazy("Round the body, close behind elbow and withers, after breathing out."),
    )
    body_length = FigureField(
        label=gettext_lazy("Point of shoulder to point of buttock"),
        required=False,
        help_text=gettext_lazy("With the girth it gives the body mass."),
    )
    tape = forms.ChoiceField(
        label=gettext_lazy("These three in"),
        choices=TAPE,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("What stands on your tape."),
    )

    def __init__(self, *args: Any, barn: Barn, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        in_us = barn.units == Units.US
        self.fields["system"].initial = SizeSystem.INCHES if in_us else SizeSystem.CM_CHEST_TAIL
        self.fields["tape"].initial = "in" if in_us else "cm"
        self.order_fields(["size", "system", "on"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("size") and cleaned.get("system"):
            try:
                self.read = sizes.read(cleaned["size"], SizeSystem(cleaned["system"]))
            except sizes.BadSize as bad:
                self.add_error("size", str(bad))
        for name in LIMITS_CM:
            self._check_length(name, cleaned)
        if not self.errors and not any(cleaned.get(name) for name in ("size", "back_length", "girth")):
            self.add_error("size", _("Give at least one: chest to tail, the back, or the girth."))
        return cleaned

    def _check_length(self, name: str, cleaned: dict[str, Any]) -> None:
        given, (low, high) = cleaned.get(name), LIMITS_CM[name]
        if given is None:
            return
        inches = cleaned.get("tape") == "in"
        cm = units.cm_from_inches(given) if inches else given
        if not low <= cm <= high:
            ends = [units.inches_from_cm(end) if inches else end for end in (low, high)]
            self.add_error(
                name,
                _("From %(low)d to %(high)d %(unit)s.")
                % {"low": ends[0], "high": ends[1], "unit": "in" if inches else "cm"},
            )

    def values(self) -> dict[str, Any]:
        size = getattr(self, "read", None)
        return {
            "on": self.cleaned_data["on"],
            "given": size.given if size else "",
            "given_system": size.system if size else "",
            "chest_to_tail_cm": chest_to_tail_cm(size) if size else None,
            **{f"{name}_cm": self._cm(name) for name in LIMITS_CM},
        }

    def _cm(self, name: str) -> Decimal | None:
        given = self.cleaned_data[name]
        if given is None:
            return None
        return tenths(units.cm_from_inches(given) if self.cleaned_data["tape"] == "in" else given)


def chest_to_tail_cm(size: sizes.Size) -> Decimal | None:
    """A size given in centimetres stays what it was, without the way through inches and back."""
    figure = re.match(r"\d+(?:[.,]\d+)?", size.given)
    if size.system is SizeSystem.CM_CHEST_TAIL and figure:
        return tenths(figure[0].replace(",", "."))
    return size.chest_to_tail_cm


def tenths(figure: float | str) -> Decimal:
    return Decimal(str(figure)).quantize(Decimal("0.1"), ROUND_HALF_UP)


class CoatForm(OnADayForm):
    clip = forms.ChoiceField(
        label=gettext_lazy("Clip"),
        choices=Clip.choices,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("From bib, the least, to full. Also when it is an old clip growing out."),
    )
    clipped_now = forms.BooleanField(
        label=gettext_lazy("Clipped on this day"),
        required=False,
        help_text=gettext_lazy("The coat grows back from here. A newly clipped horse needs a keeper's eye."),
    )
    depth_mm = FigureField(
        label=gettext_lazy("Depth of the unclipped coat, millimetres"),
        required=False,
        min_value=1,
        max_value=60,
        help_text=gettext_lazy("Push a ruler through the coat to the skin. Empty: taken from the time of the year."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.order_fields(["clip", "clipped_now", "depth_mm", "on"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("clipped_now") and cleaned.get("clip") == Clip.NONE:
            self.add_error("clip", _("Which clip was it?"))
        return cleaned

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in ("on", "clip", "clipped_now", "depth_mm")}


class ConditionForm(OnADayForm):
    score = forms.TypedChoiceField(
        label=gettext_lazy("Condition"),
        coerce=Decimal,
        choices=[("", gettext_lazy("Not chosen yet")), *((f"{half / 2:g}", f"{half / 2:g}") for half in range(2, 19))],
        error_messages={"required": gettext_lazy("Choose the condition that you felt.")},
        help_text=gettext_lazy(
            "1 is starved, 5 carries neither too little nor too much, 9 is very fat. Feel, do not only look."
        ),
    )

    def __init__(self, *args: Any, last: Decimal | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["score"].initial = "" if last is None else f"{last.normalize():f}"
        self.order_fields(["score", "on"])

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in ("on", "score")}


class WithdrawForm(OnceForm):
    why = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("For the journal, if you like."),
    )
