"""The steps of a new barn's first run that belong to blankets and weather."""

from django.utils.translation import gettext_lazy as _

from barnrugs.barns import first_run
from barnrugs.barns.models import Barn
from barnrugs.weather.queries import source_of
from inventory.models import Blanket


def register() -> None:
    first_run.register(
        60,
        label=_("Blankets"),
        why=_("One by one, or all at once from a spreadsheet."),
        page="blankets",
        is_done=has_blankets,
    )
    first_run.register(
        80,
        label=_("Weather"),
        why=_("Where the barn lies, so that sun and season are right; a weather file can be loaded besides."),
        page="house_change",
        is_done=has_weather,
    )


def has_blankets(barn: Barn) -> bool:
    return Blanket.objects.filter(barn=barn).exists()


def has_weather(barn: Barn) -> bool:
    """Its position is known, or it has a file of weather."""
    return barn.latitude is not None or source_of(barn) is not None
