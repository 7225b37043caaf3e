"""Who may do what to a barn's weather files; the journal's actions of this app."""

from barnrugs.barns import access, journal
from barnrugs.weather.models import WeatherSource


def register() -> None:
    access.register(WeatherSource, see=access.EVERYBODY, add=access.MANAGER, change=access.MANAGER)
    journal.register("weather_loaded", "{who} loaded the weather file {name}.")
