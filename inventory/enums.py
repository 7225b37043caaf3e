"""The words of the inventory, as choices for models and forms; a blanket's four answers are named here only."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from barnrugs.matching import words


class Kind(models.TextChoices):
    TURNOUT = words.Kind.TURNOUT.value, "Turnout"
    RAIN_SHEET = words.Kind.RAIN_SHEET.value, "Rain sheet"
    SHEET = words.Kind.SHEET.value, "Sheet"
    STABLE = words.Kind.STABLE.value, "Stable blanket"
    LINER = words.Kind.LINER.value, "Liner"
    COOLER = words.Kind.COOLER.value, "Cooler"
    NECK_COVER = words.Kind.NECK_COVER.value, "Neck cover"
    EXERCISE_SHEET = words.Kind.EXERCISE_SHEET.value, "Exercise sheet"
    DRESS_SHEET = words.Kind.DRESS_SHEET.value, "Dress sheet"
    FLY_SHEET = words.Kind.FLY_SHEET.value, "Fly sheet"


class Waterproofing(models.TextChoices):
    NONE = words.Waterproofing.NONE.value, "Not waterproof"
    RESISTANT = words.Waterproofing.RESISTANT.value, "Water-resistant"
    WATERPROOF = words.Waterproofing.WATERPROOF.value, "Waterproof"


class Neck(models.TextChoices):
    NONE = words.Neck.NONE.value, "No neck"
    REMOVABLE = words.Neck.REMOVABLE.value, "Detachable neck"
    FIXED = words.Neck.FIXED.value, "Fixed neck"


class Front(models.TextChoices):
    BUCKLE = words.Front.BUCKLE.value, "Buckle"
    HOOK_AND_LOOP = words.Front.HOOK_AND_LOOP.value, "Hook and loop"
    BOTH = words.Front.BOTH.value, "Buckle and hook and loop"
    CLOSED = words.Front.CLOSED.value, "Closed (over the head)"


class Cut(models.TextChoices):
    STANDARD = words.Cut.STANDARD.value, "Standard"
    BROAD = words.Cut.BROAD.value, "Broad (stock)"
    NARROW = words.Cut.NARROW.value, "Narrow"
    COB = words.Cut.COB.value, "Cob"
    PONY = words.Cut.PONY.value, "Pony"
    DRAFT = words.Cut.DRAFT.value, "Draft"


class Lining(models.TextChoices):
    NYLON = words.Lining.NYLON.value, "Nylon"
    FLEECE = words.Lining.FLEECE.value, "Fleece"
    FELT = words.Lining.FELT.value, "Felt"


class Surcingles(models.TextChoices):
    ONE = "one", "One"
    TWO = "two", "Two"
    CROSS = "cross", "Crossed"
    BELLY_BAND = "belly_band", "Belly band"


class TailFlap(models.TextChoices):
    SEWN = "sewn", "Sewn on"
    REMOVABLE = "removable", "Removable"


class Fit(models.TextChoices):
    FITS = words.Fit.FITS.value, "Fits"
    TIGHT = words.Fit.TIGHT.value, "Tight"
    TOO_BIG = words.Fit.TOO_BIG.value, "Too big"
    RUBS = words.Fit.RUBS.value, "Rubs"


class RubPlace(models.TextChoices):
    WITHERS = "withers", "Withers"
    SHOULDER = "shoulder", "Shoulder"
    CHEST = "chest", "Chest"
    HIP = "hip", "Hip"
    NECK = "neck", "Neck and mane"
    LEGS = "legs", "Hind legs"


class Keeping(models.TextChoices):
    """Where a blanket is kept when no horse wears it and no care job has it."""

    RACK = "rack", "On its rack"
    DRYING = "drying", "Drying"
    HOME = "home", "At its owner's home"
    STORED = "stored", "Stored away"
    LENT = "lent", "Lent"
    LOST = "lost", "Lost"
    RETIRED = "retired", "Retired"


class Where(models.TextChoices):
    """First of the four answers: where it is."""

    ON_HORSE = "on_horse", "On a horse"
    BAGGED = "bagged", "Bagged"
    AWAY = "away", "At the cleaner or repairer"
    UNCHECKED = "unchecked", "Back but unchecked"
    RACK = "rack", "On its rack"
    DRYING = "drying", "Drying"
    HOME = "home", "At its owner's home"
    STORED = "stored", "Stored away"
    LENT = "lent", "Lent"
    LOST = "lost", "Lost"
    RETIRED = "retired", "Retired"


class Wet(models.TextChoices):
    DRY = "dry", "Dry"
    DRYING = "drying", "Drying"
    SOAKED = "soaked", "Soaked"


class Clean(models.TextChoices):
    CLEAN = "clean", "Clean"
    WASH_DUE = "wash_due", "Wash due"


class Sound(models.TextChoices):
    SOUND = "sound", "Sound"
    REPAIR_DUE = "repair_due", "Repair due"
    TEMPORARY_FIX = "temporary_fix", "Temporary fix"
    DO_NOT_USE = "do_not_use", "Do not use"


class CareKind(models.TextChoices):
    WASH = "wash", "Wash"
    REPAIR = "repair", "Repair"
    WATERPROOFING = "waterproofing", "Waterproofing"


class CareStep(models.TextChoices):
    REPORTED = "reported", "Reported"
    DECIDED = "decided", "Decided"
    BAGGED = "bagged", "Bagged"
    AWAY = "away", "Away"
    QUOTED = "quoted", "Quoted"
    APPROVED = "approved", "Approved"
    DECLINED = "declined", "Declined"
    BACK = "back", "Back, unchecked"
    CHECKED = "checked", "Checked in"
    CLOSED = "closed", "Closed"
    LOST = "lost", "Lost"
    RETIRED = "retired", "Retired"


class DamagedPart(models.TextChoices):
    STRAP = "strap", "Strap"
    BUCKLE = "buckle", "Buckle"
    SURCINGLE = "surcingle", "Surcingle"
    D_RING = "d_ring", "D-ring"
    SHELL = "shell", "Shell"
    LINING = "lining", "Lining"
    SEAM = "seam", "Seam"
    LEAK = "leak", "Leak"
    FILL = "fill", "Fill"
    RUB = "rub", "Rub on the horse"
    DIRT = "dirt", "Dirty"


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
    TURNOUT = words.PlaceKind.TURNOUT.value, "Turnout"
    STALL = words.PlaceKind.STALL.value, "Stall"


class ChartWet(models.TextChoices):
    DRY = "dry", "Dry"
    WET_OR_WINDY = "wet_or_windy", "Wet or windy"


class ChartFill(models.TextChoices):
    SHEET = "sheet", "Sheet"
    LIGHT = "light", "Light"
    MEDIUM = "medium", "Medium"
    HEAVY = "heavy", "Heavy"


class ChartNote(models.TextChoices):
    """What is often written beside a line of a chart: picked, it is said in each reader's language."""

    FEEL_UNDER = "feel_under", _("Feel under it for sweat")
    OFF_AT_NOON = "off_at_noon", _("Off at noon if the sun is out")
    IN_IF_SOAKED = "in_if_soaked", _("Bring it in if it is soaked")
    LINER_UNDER = "liner_under", _("Liner under it")
    OWN_ONLY = "own_only", _("Its own blankets only")
    CALL_ME = "call_me", _("Call me first if it does not suit")


class Override(models.TextChoices):
    NOBODY = "nobody", "Nobody"
    MANAGER = "manager", "The manager"
    STAFF = "staff", "Staff, with a reason"


class DecidedBy(models.TextChoices):
    """Who decides what a horse wears, the first of these that says anything."""

    VET = "vet", "The veterinarian"
    OWNER = "owner", "The owner's chart"
    HOUSE = "house", "The house chart"
    COMPUTED = "computed", "Computed advice"


class LineOutcome(models.TextChoices):
    DONE = "done", "Done"
    OTHER = "other", "Something else"
    NOT_DONE = "not_done", "Not done"


class Felt(models.TextChoices):
    COLD = "cold", "Cold"
    COOL = "cool", "Cool"
    RIGHT = "right", "Right"
    WARM = "warm", "Warm"
    SWEATING = "sweating", "Sweating"


class QuestionKind(models.TextChoices):
    """Why something that was done without signal comes before a manager."""

    CONTRADICTS = "contradicts", _("Contradicts what others noted")
    OVERLAPS = "overlaps", _("Overlaps with what others noted")
    LEFT = "left", _("From somebody who has left")
    REVOKED = "revoked", _("From a phone that is no longer ours")


class QuestionAnswer(models.TextChoices):
    ACCEPTED = "accepted", _("It happened as noted")
    DROPPED = "dropped", _("It stays as it stands")
