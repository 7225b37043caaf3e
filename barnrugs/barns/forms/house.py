import itertools
import zoneinfo
from datetime import time
from typing import Any, cast

from django import forms
from django.db.models import Model
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.layout import FigureField, Sectioned, TimeInput
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.forms.seen import SeenForm
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import USUAL_TIMES, HouseModel, Session, Units
from barnrugs.matching import units

CURRENCY = r"^[A-Z]{3}$"


def time_zones() -> list[tuple[str, str]]:
    named = sorted(name for name in zoneinfo.available_timezones() if "/" in name and not name.startswith("Etc/"))
    return [("UTC", "UTC"), *((name, name.replace("_", " ")) for name in named)]


class HouseForm(Sectioned, SeenForm):
    fields_shown = {
        "name": "name",
        "units": "units",
        "time_zone": "time_zone",
        "currency": "currency",
        "latitude": "latitude",
        "longitude": "longitude",
        "indoor_gain_c": "indoor_gain",
        "house_model": "house_model",
        "rain_threshold": "rain_percent",
        "drying_hours": "drying_hours",
        "proofing_months": "proofing_months",
    }
    headings = (
        (gettext_lazy("The barn"), ("name", "units", "time_zone", "currency", "latitude", "longitude")),
        (gettext_lazy("Who decides, and when rain counts"), ("house_model", "rain_percent", "indoor_gain")),
        (
            gettext_lazy("Work"),
            ("drying_hours", "proofing_months"),
        ),
    )

    name = forms.CharField(
        label=gettext_lazy("Name of the barn"), max_length=80, help_text=gettext_lazy("As it stands on lists.")
    )
    units = forms.ChoiceField(
        label=gettext_lazy("Units"),
        choices=Units.choices,
        widget=forms.RadioSelect,
        help_text=gettext_lazy(
            "How lists and pages show sizes, weights and temperatures. You can enter sizes in any of them."
        ),
    )
    time_zone = forms.ChoiceField(
        label=gettext_lazy("Time zone"),
        choices=time_zones,
        help_text=gettext_lazy("The city whose clock the barn goes by."),
    )
    currency = forms.RegexField(
        CURRENCY,
        label=gettext_lazy("Currency"),
        help_text=gettext_lazy("Three letters, for example USD or EUR."),
        error_messages={"invalid": gettext_lazy("Three capital letters, for example USD.")},
    )
    latitude = FigureField(
        label=gettext_lazy("Latitude"),
        required=False,
        min_value=-90,
        max_value=90,
        help_text=gettext_lazy("Degrees, south negative. For the sun and the length of the day."),
    )
    longitude = FigureField(
        label=gettext_lazy("Longitude"),
        required=False,
        min_value=-180,
        max_value=180,
        help_text=gettext_lazy("Degrees, west negative."),
    )
    house_model = forms.ChoiceField(
        label=gettext_lazy("Who decides"),
        choices=HouseModel.choices,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("The veterinarian's note stands above each of these."),
    )
    rain_percent = FigureField(
        label=gettext_lazy("Rain counts from a chance of, percent"),
        min_value=0,
        max_value=100,
        help_text=gettext_lazy("From this chance on, a horse that goes out is dressed for rain. 30 is usual."),
    )
    indoor_gain = FigureField(
        min_value=0,
        help_text=gettext_lazy(
            "By how much the closed barn is warmer than outdoors on a cold night; 0 if you do not know."
        ),
    )
    drying_hours = forms.IntegerField(
        label=gettext_lazy("Hours a wet blanket needs to dry"),
        min_value=1,
        max_value=240,
        help_text=gettext_lazy("Until then it is not offered, unless somebody feels that it is dry."),
    )
    proofing_months = forms.IntegerField(
        label=gettext_lazy("Months a waterproofing lasts"),
        min_value=1,
        max_value=120,
        help_text=gettext_lazy("After this, waterproofing is due. About a year is common."),
    )

    def __init__(self, *args: Any, record: Model, **kwargs: Any) -> None:
        self.in_us = cast(Barn, record).units == Units.US
        super().__init__(*args, record=record, **kwargs)
        gain = self.fields["indoor_gain"]
        gain.label = _("Warmer inside by, °F") if self.in_us else _("Warmer inside by, °C")

    def initial_of(self, record: Model) -> dict[str, Any]:
        barn = cast(Barn, record)
        gain = units.difference(barn.indoor_gain_c, us=self.in_us)
        own = {"indoor_gain": round(gain, 1), "rain_percent": round(barn.rain_threshold * 100, 1)}
        return super().initial_of(record) | own

    def clean_indoor_gain(self) -> float:
        """In the units in which the form was shown, even when the units change with it."""
        gain: float = self.cleaned_data["indoor_gain"]
        gain_c = units.celsius_difference(gain, us=self.in_us)
        if gain_c > 15.0001:
            most = units.difference(15, us=self.in_us)
            raise forms.ValidationError(_("At most %(most)g degrees.") % {"most": most})
        return round(gain_c, 4)

    def stored(self, name: str, value: Any) -> Any:
        return value / 100 if name == "rain_threshold" else value

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        faulty = {"latitude", "longitude"} & set(self.errors)
        if not faulty and (cleaned.get("latitude") is None) != (cleaned.get("longitude") is None):
            self.add_error("longitude", _("Give both latitude and longitude, or neither."))
        return cleaned


EARLY = time(4)
"""Before this a night check belongs to the evening before (assumption)."""


class StaffedTimesForm(OnceForm):
    """One time of day for each session; empty where nobody is there."""

    def __init__(self, *args: Any, known: dict[str, time], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for session in Session:
            self.fields[session.value] = forms.TimeField(
                label=session.label,
                required=False,
                initial=known.get(session.value),
                widget=TimeInput(),
                help_text=_("Usually about %(time)s. Leave it empty where nobody is there to change blankets.")
                % {"time": f"{USUAL_TIMES[session]:%H:%M}"},
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.errors and not self.times():
            raise forms.ValidationError(_("At least one time a day somebody must be there."))
        self._question_order()
        return cleaned

    def _question_order(self) -> None:
        """The day's sessions follow one another; a night check may be after midnight."""
        times = [(Session(name), at) for name, at in self.times().items()]
        for (earlier, before), (session, at) in itertools.pairwise(times):
            if at <= before and not (session == Session.NIGHT_CHECK and at < EARLY):
                said = {"this": session.label, "at": f"{at:%H:%M}", "other": earlier.label, "before": f"{before:%H:%M}"}
                self.add_error(session.value, _("%(this)s at %(at)s is not after %(other)s at %(before)s.") % said)

    def times(self) -> dict[str, time]:
        return {session.value: at for session in Session if (at := self.cleaned_data.get(session.value))}
