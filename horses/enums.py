"""The words of horses and paddocks, as choices for models and forms; where the matching has a word, it is the same."""

from django.db import models

from barnrugs.matching import words


class Clip(models.TextChoices):
    NONE = words.Clip.NONE.value, "Not clipped"
    BIB = words.Clip.BIB.value, "Bib clip"
    IRISH = words.Clip.IRISH.value, "Irish clip"
    TRACE = words.Clip.TRACE.value, "Trace clip"
    BLANKET = words.Clip.BLANKET.value, "Blanket clip"
    HUNTER = words.Clip.HUNTER.value, "Hunter clip"
    FULL = words.Clip.FULL.value, "Full clip"


class Build(models.TextChoices):
    STOCKY = words.Build.STOCKY.value, "Stocky"
    AVERAGE = words.Build.AVERAGE.value, "Average"
    FINE = words.Build.FINE.value, "Fine"


class Feed(models.TextChoices):
    LIMITED = words.Feed.LIMITED.value, "Limited"
    MAINTENANCE = words.Feed.MAINTENANCE.value, "Maintenance"
    FREE = words.Feed.FREE.value, "Hay always in front of it"


class Shelter(models.TextChoices):
    OPEN = words.Shelter.OPEN.value, "Open"
    WINDBREAK = words.Shelter.WINDBREAK.value, "Windbreak"
    SHED = words.Shelter.SHED.value, "Run-in shed"


class LinerPreference(models.TextChoices):
    NYLON = words.Lining.NYLON.value, "Nylon"
    FLEECE = words.Lining.FLEECE.value, "Fleece"
    FELT = words.Lining.FELT.value, "Felt"


class OutPlan(models.TextChoices):
    DAY = "day", "Out by day"
    NIGHT = "night", "Out all night"
    ALWAYS = "always", "Always out"
    IN = "in", "Stays in"


class Presence(models.TextChoices):
    HERE = "here", "Here"
    AWAY = "away", "Away"
    LAID_UP = "laid_up", "Laid up"
    SOLD = "sold", "Sold"
    DEAD = "dead", "Dead"


class VetSays(models.TextChoices):
    """The veterinarian's note, structured so that it can decide."""

    NOTHING_SAID = "", "No note"
    NOTHING_ON = "nothing", "Nothing on"
    AT_LEAST = "at_least", "At least so many grams"
    THESE = "these", "These blankets"
    NO_ADVICE = "no_advice", "No advice from us: ask the veterinarian"


class SizeSystem(models.TextChoices):
    INCHES = "in", "Inches, chest to tail"
    FEET_INCHES = "ft_in", "Feet and inches, chest to tail"
    CM_CHEST_TAIL = "cm", "Centimetres, chest to tail"
    CM_BACK = "cm_back", "Centimetres along the back"
