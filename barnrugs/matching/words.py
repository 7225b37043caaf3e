"""The words of the trade that the matching, the models and the command line share: one spelling, in one place."""

from enum import StrEnum


class Clip(StrEnum):
    """How much of the coat is clipped off, in increasing order (common practice, no source)."""

    NONE = "none"
    BIB = "bib"
    IRISH = "irish"
    TRACE = "trace"
    BLANKET = "blanket"
    HUNTER = "hunter"
    FULL = "full"


class Build(StrEnum):
    STOCKY = "stocky"
    AVERAGE = "average"
    FINE = "fine"


class Habit(StrEnum):
    CHEWS_OWN = "chews_own"
    CHEWS_OTHERS = "chews_others"
    ROLLS = "rolls"
    HEAD_SHY = "head_shy"


class Need(StrEnum):
    """Why a horse needs a keeper's eye above any computed band."""

    THIN = "thin"
    OLD = "old"
    ILL = "ill"
    YOUNG = "young"


class Feed(StrEnum):
    LIMITED = "limited"
    MAINTENANCE = "maintenance"
    FREE = "free"


class PlaceKind(StrEnum):
    TURNOUT = "turnout"
    STALL = "stall"


class Shelter(StrEnum):
    OPEN = "open"
    WINDBREAK = "windbreak"
    SHED = "shed"


class PrecipKind(StrEnum):
    RAIN = "rain"
    SNOW = "snow"


class Kind(StrEnum):
    """What a blanket is made for."""

    TURNOUT = "turnout"
    RAIN_SHEET = "rain_sheet"
    SHEET = "sheet"
    STABLE = "stable"
    LINER = "liner"
    COOLER = "cooler"
    NECK_COVER = "neck_cover"
    EXERCISE_SHEET = "exercise_sheet"
    DRESS_SHEET = "dress_sheet"
    FLY_SHEET = "fly_sheet"


class Waterproofing(StrEnum):
    NONE = "none"
    RESISTANT = "resistant"
    WATERPROOF = "waterproof"


class Neck(StrEnum):
    NONE = "none"
    REMOVABLE = "removable"
    FIXED = "fixed"


class Front(StrEnum):
    """The front closure; closed goes over the head."""

    BUCKLE = "buckle"
    HOOK_AND_LOOP = "hook_and_loop"
    BOTH = "both"
    CLOSED = "closed"


class Cut(StrEnum):
    STANDARD = "standard"
    BROAD = "broad"
    NARROW = "narrow"
    COB = "cob"
    PONY = "pony"
    DRAFT = "draft"


class Lining(StrEnum):
    """What lies on the coat."""

    NYLON = "nylon"
    FLEECE = "fleece"
    FELT = "felt"


class State(StrEnum):
    """Whether a blanket can be taken in hand now, as the matching sees it."""

    READY = "ready"
    ON_HORSE = "on_horse"
    DRYING = "drying"
    DO_NOT_USE = "do_not_use"
    BAGGED = "bagged"
    AWAY = "away"
    UNCHECKED = "unchecked"
    LENT = "lent"
    HOME = "home"
    STORED = "stored"
    LOST = "lost"
    RETIRED = "retired"


class Fit(StrEnum):
    """What trying it on showed; it beats arithmetic."""

    FITS = "fits"
    TIGHT = "tight"
    TOO_BIG = "too_big"
    RUBS = "rubs"


class Verdict(StrEnum):
    WEAR = "wear"
    CAUTION = "caution"
    NO = "no"


class Position(StrEnum):
    """Where an hour's air stands against a comfort band, its ends included."""

    INSIDE = "inside"
    COLD = "cold"
    WARM = "warm"


class Refusal(StrEnum):
    """Why an outfit is never offered; one word each, the sentence stands with the reasons."""

    RAIN = "rain"
    STABLE_IN_WET = "stable_in_wet"
    SOAKED = "soaked"
    DRYING = "drying"
    DO_NOT_USE = "do_not_use"
    BAGGED = "bagged"
    AWAY = "away"
    UNCHECKED = "unchecked"
    LENT = "lent"
    HOME = "home"
    STORED = "stored"
    LOST = "lost"
    RETIRED = "retired"
    ON_ANOTHER = "on_another"
    NOT_ALLOWED = "not_allowed"
    TIGHT = "tight"
    TOO_BIG = "too_big"
    OVER_HEAD = "over_head"
    SWEATING = "sweating"
    NOT_BREATHABLE = "not_breathable"
    KIND = "kind"
    WARM_DAY = "warm_day"
    FELT_WARM = "felt_warm"
    NOTHING_OVER = "nothing_over"
