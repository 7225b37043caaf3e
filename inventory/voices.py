"""In which language, units and time zone the matching's reasons are said."""

from typing import Final

from django.utils import translation

from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from barnrugs.matching.reasons import ENGLISH, Language, Voice
from barnrugs.matching.spanish import SPANISH

LANGUAGES: Final[dict[str, Language]] = {"en": ENGLISH, "es": SPANISH}


def voice_of(barn: Barn) -> Voice:
    """The reader's language and the barn's units and zone."""
    language = (translation.get_language() or "en").split("-")[0]
    return Voice(barn.zone, barn.units == Units.US, LANGUAGES.get(language, ENGLISH))
