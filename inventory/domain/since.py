"""What changed since a list was made that could change what is still open on it, as the journal has it."""

from collections.abc import Iterable, Mapping, Sequence

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy

from barnrugs.barns.models import Barn, JournalEntry
from barnrugs.barns.models.journal import SubjectKind
from barnrugs.weather.queries import source_of
from inventory.models import Blanket, ChangeList, ListLine

MOST = 500
"""So many entries are looked at, the latest first."""


class Changed(TextChoices):
    WEATHER = "weather", gettext_lazy("the weather")
    HOUSE = "house", gettext_lazy("a house rule")
    CHART = "chart", gettext_lazy("a chart")
    VET = "vet", gettext_lazy("a veterinarian's note")
    HAND = "hand", gettext_lazy("a hand check")
    BLANKET = "blanket", gettext_lazy("a blanket")
    HORSE = "horse", gettext_lazy("a horse")


ACTIONS = {
    **dict.fromkeys(("weather_loaded", "weather_chosen"), Changed.WEATHER),
    **dict.fromkeys(
        ("house_changed", "house_change_taken_back", "house_chart_written", "house_chart_ended", "staffed_times_set"),
        Changed.HOUSE,
    ),
    **dict.fromkeys(("chart_written", "chart_ended"), Changed.CHART),
    "vet_noted": Changed.VET,
    **dict.fromkeys(("hand_check_noted", "hand_check_taken_back"), Changed.HAND),
    **dict.fromkeys(
        (
            "blanket_added", "blanket_changed", "blanket_change_taken_back", "blanket_brought_back", "blanket_fetched",
            "blanket_found", "blanket_found_soaked", "blanket_hung_up", "blanket_lent", "blanket_brought_home",
            "blanket_lost", "blanket_marked_wet", "blanket_retired", "blanket_stored", "care_bagged", "care_came_back",
            "care_check_taken_back", "care_checked_in", "care_done_here", "care_fixed", "care_handed_over",
            "care_missing", "care_unbagged", "damage_reported", "fit_noted", "fit_note_closed", "leave_given",
            "leave_ended", "import_finished",
        ),
        Changed.BLANKET,
    ),
    **dict.fromkeys(
        (
            "coat_noted", "coat_withdrawn", "condition_noted", "condition_withdrawn", "horse_added", "horse_changed",
            "horse_edit_taken_back", "horse_list_noted", "horse_measured", "horse_moved", "horse_out_of_paddock",
            "horse_owner_added", "horse_owner_ended", "horse_leased", "horse_presence_set", "measurement_withdrawn",
            "paddock_changed",
        ),
        Changed.HORSE,
    ),
}  # fmt: skip
"""Actions that may change an answer. What lists themselves put on and take off is seen line by line."""

DECIDING = frozenset(
    {"house_model", "indoor_gain_c", "rain_threshold", "drying_hours", "proofing_months", "time_zone", "latitude"}
)
"""House rules that an answer depends on."""

WHOLE_BARN = frozenset({Changed.WEATHER, Changed.HOUSE})


def changed_since(barn: Barn, lines: Iterable[ListLine]) -> Mapping[int, list[Changed]]:
    """What kinds of things changed for the open ones of these lines, each once, in the order of `Changed`; by list.

    A hand check whose horse's line was advised again at once is no news to the list. Four queries for any number.
    """
    still_open: dict[ChangeList, list[ListLine]] = {}
    for line in lines:
        if not line.outcome:
            still_open.setdefault(line.change_list, []).append(line)
    if not still_open:
        return {}
    first = min(made.made_at for made in still_open)
    entries = JournalEntry.objects.filter(barn=barn, here_at__gt=first, action__in=ACTIONS)
    latest = list(entries.order_by("-pk").prefetch_related("subjects")[:MOST])
    named = {pk for entry in latest for pk in _subjects(entry, SubjectKind.BLANKET)}
    blankets = list(Blanket.objects.filter(pk__in=named)) if named else []
    source = source_of(barn)
    changed = {}
    for made, several in still_open.items():
        concerned = _Concerned(several, blankets)
        found = {ACTIONS[entry.action] for entry in latest if entry.here_at > made.made_at and concerned.by(entry)}
        if source and source.loaded_at and source.loaded_at > made.made_at:
            found.add(Changed.WEATHER)
        changed[made.pk] = [kind for kind in Changed if kind in found]
    return changed


class _Concerned:
    """Which entries the open lines are concerned by: their horses, their blankets, or the whole barn."""

    def __init__(self, lines: Sequence[ListLine], blankets: Iterable[Blanket]) -> None:
        self.horses = {line.horse_id for line in lines}
        self.lines = {line.pk for line in lines}
        tags = {tag for line in lines for tag in (*line.tags_from, *line.tags_to)}
        self.blankets = {
            one.pk
            for one in blankets
            if one.tag in tags or one.usual_horse_id is None or one.usual_horse_id in self.horses
        }

    def by(self, entry: JournalEntry) -> bool:
        kind = ACTIONS[entry.action]
        if entry.action.startswith("house_change"):
            return bool(DECIDING & entry.after.keys())
        if kind in WHOLE_BARN or entry.action in {"import_finished", "horse_added", "paddock_changed"}:
            return True
        if kind is Changed.HAND and entry.after.get("line") in self.lines:
            return False
        about = _subjects(entry, SubjectKind.BLANKET) & self.blankets if kind is Changed.BLANKET else set()
        return bool(about or _subjects(entry, SubjectKind.HORSE) & self.horses)


def _subjects(entry: JournalEntry, kind: SubjectKind) -> set[int]:
    return {one.subject_id for one in entry.subjects.all() if one.kind == kind}
