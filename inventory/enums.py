"""The words of the inventory, as choices for models and forms; a blanket's four answers are named here only."""

from django.db import models
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from barnrugs.matching import words


class Kind(models.TextChoices):
    TURNOUT = words.Kind.TURNOUT.value, pgettext_lazy("kind of blanket", "Turnout")
    RAIN_SHEET = words.Kind.RAIN_SHEET.value, _("Rain sheet")
    SHEET = words.Kind.SHEET.value, _("Sheet")
    STABLE = words.Kind.STABLE.value, _("Stable blanket")
    LINER = words.Kind.LINER.value, _("Liner")
    COOLER = words.Kind.COOLER.value, _("Cooler")
    NECK_COVER = words.Kind.NECK_COVER.value, _("Neck cover")
    EXERCISE_SHEET = words.Kind.EXERCISE_SHEET.value, _("Exercise sheet")
    DRESS_SHEET = words.Kind.DRESS_SHEET.value, _("Dress sheet")
    FLY_SHEET = words.Kind.FLY_SHEET.value, _("Fly sheet")


class Waterproofing(models.TextChoices):
    NONE = words.Waterproofing.NONE.value, _("Not waterproof")
    RESISTANT = words.Waterproofing.RESISTANT.value, _("Water-resistant")
    WATERPROOF = words.Waterproofing.WATERPROOF.value, _("Waterproof")


class Neck(models.TextChoices):
    NONE = words.Neck.NONE.value, _("No neck")
    REMOVABLE = words.Neck.REMOVABLE.value, _("Detachable neck")
    FIXED = words.Neck.FIXED.value, _("Fixed neck")


class Front(models.TextChoices):
    BUCKLE = words.Front.BUCKLE.value, _("Buckle")
    HOOK_AND_LOOP = words.Front.HOOK_AND_LOOP.value, _("Hook and loop")
    BOTH = words.Front.BOTH.value, _("Buckle and hook and loop")
    CLOSED = words.Front.CLOSED.value, _("Closed (over the head)")


class Cut(models.TextChoices):
    STANDARD = words.Cut.STANDARD.value, pgettext_lazy("cut", "Standard")
    BROAD = words.Cut.BROAD.value, pgettext_lazy("cut", "Broad (stock)")
    NARROW = words.Cut.NARROW.value, pgettext_lazy("cut", "Narrow")
    COB = words.Cut.COB.value, _("Cob")
    PONY = words.Cut.PONY.value, _("Pony")
    DRAFT = words.Cut.DRAFT.value, _("Draft")


class Lining(models.TextChoices):
    NYLON = words.Lining.NYLON.value, _("Nylon")
    FLEECE = words.Lining.FLEECE.value, _("Fleece")
    FELT = words.Lining.FELT.value, _("Felt")


class Surcingles(models.TextChoices):
    ONE = "one", pgettext_lazy("surcingles", "One")
    TWO = "two", pgettext_lazy("surcingles", "Two")
    CROSS = "cross", pgettext_lazy("surcingles", "Crossed")
    BELLY_BAND = "belly_band", _("Belly band")


class TailFlap(models.TextChoices):
    SEWN = "sewn", _("Sewn on")
    REMOVABLE = "removable", _("Removable")


class Fit(models.TextChoices):
    FITS = words.Fit.FITS.value, _("Fits")
    TIGHT = words.Fit.TIGHT.value, pgettext_lazy("fit", "Tight")
    TOO_BIG = words.Fit.TOO_BIG.value, _("Too big")
    RUBS = words.Fit.RUBS.value, pgettext_lazy("fit", "Rubs")


class RubPlace(models.TextChoices):
    WITHERS = "withers", _("Withers")
    SHOULDER = "shoulder", _("Shoulder")
    CHEST = "chest", _("Chest")
    HIP = "hip", _("Hip")
    NECK = "neck", _("Neck and mane")
    LEGS = "legs", _("Hind legs")


class Keeping(models.TextChoices):
    """Where a blanket is kept when no horse wears it and no care job has it."""

    RACK = "rack", _("On its rack")
    DRYING = "drying", _("Drying")
    HOME = "home", _("At its owner's home")
    STORED = "stored", _("Stored away")
    LENT = "lent", _("Lent")
    LOST = "lost", _("Lost")
    RETIRED = "retired", _("Retired")


class Where(models.TextChoices):
    """First of the four answers: where it is."""

    ON_HORSE = "on_horse", _("On a horse")
    BAGGED = "bagged", _("Bagged")
    AWAY = "away", _("At the cleaner or repairer")
    UNCHECKED = "unchecked", _("Back but unchecked")
    RACK = "rack", _("On its rack")
    DRYING = "drying", _("Drying")
    HOME = "home", _("At its owner's home")
    STORED = "stored", _("Stored away")
    LENT = "lent", _("Lent")
    LOST = "lost", _("Lost")
    RETIRED = "retired", _("Retired")


class Wet(models.TextChoices):
    DRY = "dry", pgettext_lazy("blanket", "Dry")
    DRYING = "drying", _("Drying")
    SOAKED = "soaked", _("Soaked")


class Clean(models.TextChoices):
    CLEAN = "clean", pgettext_lazy("blanket", "Clean")
    WASH_DUE = "wash_due", _("Wash due")


class Sound(models.TextChoices):
    SOUND = "sound", pgettext_lazy("blanket", "Sound")
    REPAIR_DUE = "repair_due", _("Repair due")
    TEMPORARY_FIX = "temporary_fix", _("Temporary fix")
    DO_NOT_USE = "do_not_use", _("Do not use")


class CareKind(models.TextChoices):
    WASH = "wash", _("Wash")
    REPAIR = "repair", _("Repair")
    WATERPROOFING = "waterproofing", _("Waterproofing")


class CareStep(models.TextChoices):
    REPORTED = "reported", _("Reported")
    DECIDED = "decided", _("Decided")
    BAGGED = "bagged", _("Bagged")
    AWAY = "away", pgettext_lazy("work", "Away")
    QUOTED = "quoted", _("Quoted")
    APPROVED = "approved", _("Approved")
    DECLINED = "declined", _("Declined")
    BACK = "back", _("Back, unchecked")
    CHECKED = "checked", _("Checked in")
    CLOSED = "closed", pgettext_lazy("work", "Closed")
    LOST = "lost", pgettext_lazy("work", "Lost")
    RETIRED = "retired", pgettext_lazy("work", "Retired")


class DamagedPart(models.TextChoices):
    STRAP = "strap", _("Strap")
    BUCKLE = "buckle", _("Buckle")
    SURCINGLE = "surcingle", _("Surcingle")
    D_RING = "d_ring", _("D-ring")
    SHELL = "shell", _("Shell")
    LINING = "lining", _("Lining")
    SEAM = "seam", _("Seam")
    LEAK = "leak", _("Leak")
    FILL = "fill", pgettext_lazy("part", "Fill")
    RUB = "rub", _("Rub on the horse")
    DIRT = "dirt", _("Dirty")


class CareDecision(models.TextChoices):
    """What is to be done about a report."""

    WASH = "wash", _("Send it to be washed")
    REPAIR = "repair", _("Send it to be repaired")
    WATERPROOF = "waterproof", _("Send it to be waterproofed")
    HERE = "here", _("Do it here in the barn")
    RETIRE = "retire", _("Retire the blanket")
    IGNORE = "ignore", _("Nothing needs doing")


class CareWord(models.TextChoices):
    """What a person does to a care job; the table in domain/care.py says from which step to which."""

    REPORT = "report", _("Report")
    DECIDE = "decide", _("Decide")
    FIX = "fix", _("Temporary fix")
    BAG = "bag", _("Bag")
    UNBAG = "unbag", _("Take out of the bag")
    HAND_OVER = "hand_over", _("Hand over")
    QUOTE = "quote", _("Note the quote")
    APPROVE = "approve", _("Approve the quote")
    DECLINE = "decline", _("Decline the quote")
    COME_BACK = "come_back", _("It is back")
    CHECK_IN = "check_in", _("Check in")
    MISS = "miss", _("It did not come back")
    DO_HERE = "do_here", _("Done in the barn")
    LOSE = "lose", _("Lost")
    FIND = "find", _("Found again")
    RETIRE = "retire", _("Retire")


class CheckOutcome(models.TextChoices):
    DONE = "done", _("Done as asked")
    NOT_DONE = "not_done", _("Not done")
    DAMAGED = "damaged", _("Came back damaged")
    MISSING = "missing", _("Missing")


class FeeKind(models.TextChoices):
    FLAT = "flat", _("One amount a month for each horse")
    PER_CHANGE = "per_change", _("An amount for each change above those included")


class Letter(models.TextChoices):
    """The letters a person may choose to get or not."""

    DO_NOT_USE = "do_not_use", _("A blanket of mine is marked do not use")
    DECISION = "decision", _("Something needs my decision")
    OVERDUE = "overdue", _("A blanket is overdue from the cleaner or repairer, or a temporary fix has run out")


class ImportWhat(models.TextChoices):
    HORSES = "horses", _("Horses")
    BLANKETS = "blankets", _("Blankets")


class ImportStep(models.TextChoices):
    """How far a spreadsheet has come."""

    STAGING = "staging", _("Being read")
    ASKING = "asking", _("To be looked through")
    WRITING = "writing", _("Being brought in")
    FINISHED = "finished", _("Brought in")
    DROPPED = "dropped", _("Dropped")


class LineFate(models.TextChoices):
    """What becomes of one line of a spreadsheet."""

    UNREAD = "unread", _("Not looked at yet")
    NEW = "new", _("Will be added")
    CHANGE = "change", _("Will be changed")
    SAME = "same", _("Nothing to change")
    FAULTY = "faulty", _("Needs mending")
    ADDED = "added", _("Added")
    CHANGED = "changed", _("Changed")
    REFUSED = "refused", _("Refused when it was its turn")


class Queue(models.TextChoices):
    """The queues of open work, as the care page shows them."""

    DECISIONS = "decisions", _("Decisions waiting")
    OVERDUE = "overdue", _("Overdue")
    WASH = "wash", _("Wash")
    REPAIR = "repair", _("Repair")
    WATERPROOFING = "waterproofing", _("Waterproofing")
    ALL = "all", _("All open work")


class ChartPlace(models.TextChoices):
    TURNOUT = words.PlaceKind.TURNOUT.value, pgettext_lazy("place", "Turnout")
    STALL = words.PlaceKind.STALL.value, pgettext_lazy("place", "Stall")


class ChartWet(models.TextChoices):
    DRY = "dry", pgettext_lazy("weather", "Dry")
    WET_OR_WINDY = "wet_or_windy", _("Wet or windy")


class ChartFill(models.TextChoices):
    SHEET = "sheet", pgettext_lazy("weight", "Sheet")
    LIGHT = "light", pgettext_lazy("weight", "Light")
    MEDIUM = "medium", pgettext_lazy("weight", "Medium")
    HEAVY = "heavy", pgettext_lazy("weight", "Heavy")


class ChartNote(models.TextChoices):
    """What is often written beside a line of a chart: picked, it is said in each reader's language."""

    FEEL_UNDER = "feel_under", _("Feel under it for sweat")
    OFF_AT_NOON = "off_at_noon", _("Off at noon if the sun is out")
    IN_IF_SOAKED = "in_if_soaked", _("Bring it in if it is soaked")
    LINER_UNDER = "liner_under", _("Liner under it")
    OWN_ONLY = "own_only", _("Its own blankets only")
    CALL_ME = "call_me", _("Call me first if it does not suit")


class Override(models.TextChoices):
    NOBODY = "nobody", _("Nobody")
    MANAGER = "manager", _("The manager")
    STAFF = "staff", _("Staff, with a reason")


class DecidedBy(models.TextChoices):
    """Who decides what a horse wears, the first of these that says anything."""

    VET = "vet", _("The veterinarian")
    OWNER = "owner", _("The owner's chart")
    HOUSE = "house", _("The house chart")
    COMPUTED = "computed", _("Computed advice")


class LineOutcome(models.TextChoices):
    DONE = "done", pgettext_lazy("line", "Done")
    OTHER = "other", _("Something else")
    NOT_DONE = "not_done", _("Not done")


class Felt(models.TextChoices):
    COLD = "cold", pgettext_lazy("hand check", "Cold")
    COOL = "cool", pgettext_lazy("hand check", "Cool")
    RIGHT = "right", pgettext_lazy("hand check", "Right")
    WARM = "warm", pgettext_lazy("hand check", "Warm")
    SWEATING = "sweating", pgettext_lazy("hand check", "Sweating")


class QuestionKind(models.TextChoices):
    """Why something that was done without signal comes before a manager."""

    CONTRADICTS = "contradicts", _("Contradicts what others noted")
    OVERLAPS = "overlaps", _("Overlaps with what others noted")
    LEFT = "left", _("From somebody who has left")
    REVOKED = "revoked", _("From a phone that is no longer ours")


class QuestionAnswer(models.TextChoices):
    ACCEPTED = "accepted", _("It happened as noted")
    DROPPED = "dropped", _("It stays as it stands")
