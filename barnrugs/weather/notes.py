"""What a reader must know of a year of weather: codes with figures, kept with the year, said in the reader's language.

A note is a mapping that JSON can hold: its `code`, and the figures of its sentence.
"""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.weather.hours import Slot
from barnrugs.weather.precip import HOUR_LIMIT_MM, WET_MEAN_LIMIT_MM, Why

Note = Mapping[str, Any]

WHY_WORDS: Final = {
    Why.MISSING: gettext_lazy("missing in the file"),
    Why.NOT_HOURLY: gettext_lazy("not given for one hour"),
    Why.BAD_QUALITY: gettext_lazy("marked uncertain by the file's own code"),
    Why.TOO_MUCH: gettext_lazy("above %(mm)d mm in an hour"),
    Why.BAD_YEAR: gettext_lazy("in a year whose wet hours bring more than %(mm)d mm on average"),
}
LIMITS_MM: Final = {Why.TOO_MUCH: HOUR_LIMIT_MM, Why.BAD_YEAR: WET_MEAN_LIMIT_MM}
OVERLAYS: Final = {
    "sleet_night": gettext_lazy("Invented rain, freezing rain and snow"),
    "cold_night": gettext_lazy("Invented dry weather"),
}


def say(notes: Iterable[Note]) -> str:
    return " ".join(SAYERS[note["code"]](note) for note in notes)


def _unknown(note: Note) -> str:
    why = ", ".join(f"{count:,} {_why(Why(reason))}" for reason, count in note["why"])
    figures = {"unknown": f"{sum(count for _, count in note['why']):,}", "hours": f"{note['hours']:,}", "why": why}
    return _("Precipitation in the file is unknown in %(unknown)s of %(hours)s hours: %(why)s.") % figures


def _why(reason: Why) -> str:
    return str(WHY_WORDS[reason]) % {"mm": LIMITS_MM.get(reason, 0)}


def _invented(note: Note) -> str:
    return _("%(name)s: from %(start)s for %(hours)d hours the precipitation is invented.") % {
        "name": OVERLAYS[note["overlay"]],
        "start": Slot(*note["start"]),
        "hours": note["hours"],
    }


def _moved(note: Note) -> str:
    return _("The weather from %(start)s stands at %(now)s and after.") % {
        "start": Slot(*note["start"]),
        "now": Slot(*note["now"]),
    }


def _said(note: Note) -> str:
    """A sentence as somebody once wrote it."""
    return str(note["text"])


SAYERS: Final = {"unknown_precip": _unknown, "invented": _invented, "moved": _moved, "said": _said}
