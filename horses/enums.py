"""The words of horses and paddocks, as choices for models and forms; where the matching has a word, it is the same."""

from django.db import models
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from barnrugs.matching import words


class Clip(models.TextChoices):
    NONE = words.Clip.NONE.value, _("Not clipped")
    BIB = words.Clip.BIB.value, _("Bib clip")
    IRISH = words.Clip.IRISH.value, _("Irish clip")
    TRACE = words.Clip.TRACE.value, _("Trace clip")
    BLANKET = words.Clip.BLANKET.value, _("Blanket clip")
    HUNTER = words.Clip.HUNTER.value, _("Hunter clip")
    FULL = words.Clip.FULL.value, _("Full clip")


class Build(models.TextChoices):
    STOCKY = words.Build.STOCKY.value, pgettext_lazy("build", "Stocky")
    AVERAGE = words.Build.AVERAGE.value, pgettext_lazy("build", "Average")
    FINE = words.Build.FINE.value, pgettext_lazy("build", "Fine")


class Feed(models.TextChoices):
    LIMITED = words.Feed.LIMITED.value, pgettext_lazy("feed", "Limited")
    MAINTENANCE = words.Feed.MAINTENANCE.value, _("Maintenance")
    FREE = words.Feed.FREE.value, _("Hay always in front of it")


class Shelter(models.TextChoices):
    OPEN = words.Shelter.OPEN.value, pgettext_lazy("paddock", "Open")
    WINDBREAK = words.Shelter.WINDBREAK.value, _("Windbreak")
    SHED = words.Shelter.SHED.value, _("Run-in shed")


class LinerPreference(models.TextChoices):
    NYLON = words.Lining.NYLON.value, _("Nylon")
    FLEECE = words.Lining.FLEECE.value, _("Fleece")
    FELT = words.Lining.FELT.value, _("Felt")


class OutPlan(models.TextChoices):
    DAY = "day", _("Out by day")
    NIGHT = "night", _("Out all night")
    ALWAYS = "always", _("Always out")
    IN = "in", _("Stays in")


class Presence(models.TextChoices):
    HERE = "here", _("Here")
    AWAY = "away", pgettext_lazy("horse", "Away")
    LAID_UP = "laid_up", _("Laid up")
    SOLD = "sold", pgettext_lazy("horse", "Sold")
    DEAD = "dead", pgettext_lazy("horse", "Dead")


class VetSays(models.TextChoices):
    """The veterinarian's note, structured so that it can decide."""

    NOTHING_SAID = "", _("No note")
    NOTHING_ON = "nothing", _("Nothing on")
    AT_LEAST = "at_least", _("At least so many grams")
    THESE = "these", _("These blankets")
    NO_ADVICE = "no_advice", _("No advice from us: ask the veterinarian")


class SizeSystem(models.TextChoices):
    INCHES = "in", _("Inches, chest to tail")
    FEET_INCHES = "ft_in", _("Feet and inches, chest to tail")
    CM_CHEST_TAIL = "cm", _("Centimetres, chest to tail")
    CM_BACK = "cm_back", _("Centimetres along the back")
