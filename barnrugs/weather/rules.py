"""Who may do what to a barn's weather files; the journal's actions of this app."""

from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from barnrugs.weather.models import WeatherSource


def register() -> None:
    access.register(WeatherSource, see=access.EVERYBODY, add=access.MANAGER, change=access.MANAGER)
    journal.register("weather_loaded", _("{who} loaded the weather file {name}."))
    journal.register("weather_chosen", _("{who} chose the weather file {name}."))
