"""Conditions in a few fields, in the barn's own units."""

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.forms.basis import Form
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from barnrugs.matching import units
from barnrugs.matching.words import PrecipKind
from inventory.domain.advice import WIND_MS, Conditions

COLDEST_C, WARMEST_C = -45.0, 40.0
STRONGEST_MS = 30.0

WEATHER = (("file", _("The weather file's hours")), ("own", _("What I enter")))
WINDS = (("calm", _("Calm")), ("breezy", _("Breezy")), ("windy", _("Windy")), ("gale", _("Gale")))
AIR_HELP = _("In the open, as the forecast says for that time.")
FALLING = (("dry", _("Dry")), ("rain", _("Rain")), ("snow", _("Snow")))
PLACES = (("schedule", _("As its turnout goes")), ("turnout", _("Turnout")), ("stall", _("Stall")))


class ConditionsForm(Form):
    weather = forms.ChoiceField(label=_("Weather"), choices=WEATHER, widget=forms.RadioSelect, required=False)
    air = forms.FloatField(label=_("Air temperature"), required=False, help_text=AIR_HELP)
    wind = forms.ChoiceField(label=_("Wind"), choices=WINDS, widget=forms.RadioSelect, required=False)
    falling = forms.ChoiceField(label=_("Wet"), choices=FALLING, widget=forms.RadioSelect, required=False)
    place = forms.ChoiceField(label=_("Where"), choices=PLACES, widget=forms.RadioSelect, required=False)
    wind_figure = forms.FloatField(label=_("Wind as a figure"), required=False, min_value=0)
    humidity = forms.FloatField(
        label=_("Humidity, %"),
        required=False,
        min_value=0,
        max_value=100,
        help_text=_("Empty counts as 80 %."),
    )
    hours = forms.IntegerField(
        label=_("For how many hours"), required=False, min_value=1, max_value=72, help_text=_("Empty counts as 12.")
    )

    def __init__(self, data: Any, *, barn: Barn, has_file: bool) -> None:
        self.us = barn.units == Units.US
        self.has_file = has_file
        filled = data.copy() if data else {}
        for name, usual in (
            ("weather", "file" if has_file else "own"),
            ("wind", "calm"),
            ("falling", "dry"),
            ("place", "schedule"),
        ):
            if not filled.get(name):
                filled[name] = usual
        super().__init__(filled)
        degree, speed = units.degree(us=self.us), _("miles an hour") if self.us else _("km an hour")
        self.fields["air"].label = _("Air temperature, %(unit)s") % {"unit": degree}
        self.fields["wind_figure"].help_text = _(
            "In %(unit)s at 10 m, as forecasts give it; it goes before the word."
        ) % {"unit": speed}
        if not has_file:
            self.fields["weather"].widget = forms.HiddenInput()

    def clean_weather(self) -> str:
        weather: str = self.cleaned_data["weather"]
        if weather == "file" and not self.has_file:
            raise forms.ValidationError(_("This barn has no weather file for these hours. Enter the conditions."))
        return weather

    def clean_air(self) -> float | None:
        air: float | None = self.cleaned_data["air"]
        return None if air is None else air_c(air, us=self.us)

    def clean_wind_figure(self) -> float | None:
        figure: float | None = self.cleaned_data["wind_figure"]
        if figure is None:
            return None
        speed = units.ms(figure, us=self.us)
        if speed > STRONGEST_MS:
            raise forms.ValidationError(_("In such a storm no advice is given: keep the horses where they are safe."))
        return speed

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or {}
        if values.get("weather") == "own" and values.get("air") is None and "air" not in self.errors and self.asked:
            self.add_error("air", _("How warm or cold will it be?"))
        return values

    @property
    def asked(self) -> bool:
        """Whether somebody sent the form, rather than opened the page."""
        return "asked" in self.data

    @property
    def conditions(self) -> Conditions | None:
        """None where the file's hours are wanted, or nothing was entered yet."""
        values = self.cleaned_data
        if values["weather"] == "file" or values.get("air") is None:
            return None
        figure = values.get("wind_figure")
        humidity = values.get("humidity")
        return Conditions(
            air_c=values["air"],
            wind_10m_ms=WIND_MS[values["wind"]] if figure is None else figure,
            falling=None if values["falling"] == "dry" else PrecipKind(values["falling"]),
            rh=0.8 if humidity is None else humidity / 100,
            hours=values.get("hours") or 12,
        )


def air_c(given: float, *, us: bool) -> float:
    """The air as given in the barn's units, degC. Raises ValidationError outside the limits of the advice."""
    celsius = units.celsius(given, us=us)
    if not COLDEST_C <= celsius <= WARMEST_C:
        low, high = (f"{units.temperature(end, us=us):.0f} {units.degree(us=us)}" for end in (COLDEST_C, WARMEST_C))
        raise forms.ValidationError(
            gettext("The advice is only given between %(low)s and %(high)s. Look at the horses themselves.")
            % {"low": low, "high": high}
        )
    return celsius
