"""A barn read once, in a constant number of queries: its horses and what each wears or could wear, for the matching."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Prefetch, QuerySet
from django.utils import timezone

from barnrugs.barns.models import Barn
from barnrugs.matching import horse as matching_horse
from barnrugs.matching import outfit, weather
from barnrugs.matching.learn import Learned, learn
from barnrugs.matching.words import PlaceKind
from horses.enums import Presence
from horses.models import Coat, Condition, Horse, HorseOwner, Measurement, PaddockStay
from horses.queries.horse import current
from inventory.domain import felt, sessions, turnout
from inventory.domain.values import blanket_value, horse_value, learned
from inventory.models import Blanket, Chart, FitNote, HandCheck, Leave, Wearing
from inventory.queries import blankets, wearings
from inventory.queries.hand_checks import LATELY

REMEMBERED = timedelta(days=600)
"""Hand checks older than ten of their half-lives are not read any more."""

UNTAUGHT = learn([])


@dataclass(frozen=True)
class Subject:
    """One horse with everything the advice needs, and what was assumed for want of a record."""

    horse: Horse
    value: matching_horse.Horse
    stay: PaddockStay | None
    wears: tuple[Wearing, ...]
    wardrobe: tuple[outfit.Blanket, ...]
    companions_chew: bool
    assumed: tuple[str, ...] = ()
    learned: Learned = UNTAUGHT
    chart: Chart | None = None
    as_felt: matching_horse.Horse | None = None
    felt_until: datetime | None = None

    def value_from(self, begins: datetime) -> matching_horse.Horse:
        """The horse for a stay that begins then; what a hand felt of late counts for what begins within two hours."""
        return self.as_felt if self.as_felt and self.felt_until and begins <= self.felt_until else self.value

    def place_at(self, barn: Barn, local: datetime) -> weather.Place:
        """Where it stands at an hour of the barn's own time."""
        return turnout.place_at(self.horse, self.stay, barn, local, companions_chew=self.companions_chew)

    def place(self, kind: PlaceKind, barn: Barn) -> weather.Place:
        """Its stall, or its own paddock."""
        return turnout.stall(barn) if kind is PlaceKind.STALL else self.outdoors()

    def outdoors(self) -> weather.Place:
        return turnout.outdoors(self.stay, companions_chew=self.companions_chew)


@dataclass
class Snapshot:
    """What was read: blankets by tag with their condition, and the subjects in walking order."""

    barn: Barn
    at: datetime
    blankets: dict[str, Any] = field(default_factory=dict)
    subjects: list[Subject] = field(default_factory=list)
    house_chart: Chart | None = None

    def subject(self, horse: Horse) -> Subject:
        """Raises LookupError where the horse was not read: it is gone since it was asked for."""
        found = next((subject for subject in self.subjects if subject.horse.pk == horse.pk), None)
        if found is None:
            raise LookupError(horse.pk)
        return found


def read(barn: Barn, at: datetime, *, only: Horse | None = None) -> Snapshot:
    """Reads every horse that is here, or one alone, with the blankets that could come into question."""
    today = timezone.localtime(at, barn.zone).date()
    every = list(_horses(barn, today, only))
    kept = list(blankets.of(barn).with_condition(barn, at).kept().select_related("owner"))
    fits = _fits(barn)
    leaves = _leaves(barn, today)
    worn: dict[int, list[Wearing]] = defaultdict(list)
    for wearing in wearings.open_in(barn):
        worn[wearing.horse_id].append(wearing)
    company = _company(barn, today)
    charts = {chart.horse_id: chart for chart in _charts(barn)}
    checks = _hand_checks(barn, at)
    snapshot = Snapshot(barn, at, {blanket.tag: blanket for blanket in kept}, house_chart=charts.get(None))
    for horse in every:
        owners = {owner.person_id for owner in horse.owners.all()}
        wears = tuple(worn[horse.pk])
        stay = next(iter(horse.stays.all()), None)
        chew, alone = _companions(horse, stay, company)
        taught = learned(horse, checks[horse.pk], today, barn.zone)
        value, assumed = horse_value(horse, today, barn, wears, alone=alone, offset_c=taught.offset_c)
        check = next((one for one in checks[horse.pk] if one.at > at - LATELY), None)
        snapshot.subjects.append(
            Subject(
                horse=horse,
                value=value,
                stay=stay,
                wears=wears,
                wardrobe=tuple(_wardrobe(horse, kept, owners, wears, fits, leaves)),
                companions_chew=chew,
                assumed=assumed,
                learned=taught,
                chart=charts.get(horse.pk),
                as_felt=felt.as_felt(value, check, snapshot.blankets) if check else None,
                felt_until=at + sessions.AHEAD if check else None,
            )
        )
    return snapshot


def _horses(barn: Barn, today: date, only: Horse | None) -> QuerySet[Horse]:
    found = Horse.objects.filter(barn=barn)
    found = found.filter(pk=only.pk) if only else found.filter(presence=Presence.HERE)
    return found.prefetch_related(
        Prefetch("owners", HorseOwner.objects.filter(current(today)).select_related("person")),
        Prefetch("measurements", Measurement.objects.filter(on__lte=today).order_by("-on", "-pk")),
        Prefetch("coats", Coat.objects.filter(on__lte=today).order_by("-on", "-pk")),
        Prefetch("conditions", Condition.objects.filter(on__lte=today).order_by("-on", "-pk")),
        Prefetch("stays", PaddockStay.objects.filter(current(today)).select_related("paddock")),
    )


def _fits(barn: Barn) -> dict[tuple[int, int], list[FitNote]]:
    fits: dict[tuple[int, int], list[FitNote]] = defaultdict(list)
    for note in FitNote.objects.filter(barn=barn, closed_on__isnull=True).order_by("on", "pk"):
        fits[note.blanket_id, note.horse_id].append(note)
    return fits


def _leaves(barn: Barn, today: date) -> set[tuple[int, int | None]]:
    given = Leave.objects.filter(current(today), barn=barn)
    return set(given.values_list("blanket_id", "horse_id"))


def _charts(barn: Barn) -> QuerySet[Chart]:
    return Chart.objects.filter(barn=barn, until__isnull=True).prefetch_related("rows")


def _hand_checks(barn: Barn, at: datetime) -> dict[int, list[HandCheck]]:
    checks: dict[int, list[HandCheck]] = defaultdict(list)
    found = HandCheck.objects.filter(barn=barn, taken_back_at__isnull=True, at__gt=at - REMEMBERED, at__lte=at)
    for check in found.order_by("-at", "-pk"):
        checks[check.horse_id].append(check)
    return checks


def _company(barn: Barn, today: date) -> dict[int, list[tuple[int, bool]]]:
    """Horses now in each paddock, with whether they chew others' blankets."""
    company: dict[int, list[tuple[int, bool]]] = defaultdict(list)
    stays = PaddockStay.objects.filter(current(today), barn=barn, horse__presence=Presence.HERE)
    for paddock, horse, chews in stays.values_list("paddock_id", "horse_id", "horse__chews_others"):
        company[paddock].append((horse, chews))
    return company


def _companions(
    horse: Horse, stay: PaddockStay | None, company: dict[int, list[tuple[int, bool]]]
) -> tuple[bool, bool | None]:
    """Whether a paddock mate chews others' blankets, and whether the horse is alone (unknown without a paddock)."""
    if stay is None:
        return False, None
    mates = [chews for other, chews in company[stay.paddock_id] if other != horse.pk]
    return any(mates), not mates


def _wardrobe(
    horse: Horse,
    kept: Iterable[Any],
    owners: set[int],
    wears: Sequence[Wearing],
    fits: dict[tuple[int, int], list[FitNote]],
    leaves: set[tuple[int, int | None]],
) -> Iterable[outfit.Blanket]:
    """What could come into question: its own, its owner's, the barn's own, with leave, and what it wears."""
    on_now = {wearing.blanket_id for wearing in wears}
    for blanket in kept:
        own, allowed = _leave(blanket, horse, owners, leaves)
        if allowed or blanket.pk in on_now:
            yield blanket_value(blanket, fits.get((blanket.pk, horse.pk), ()), allowed=allowed, mine=own)


def _leave(blanket: Any, horse: Horse, owners: set[int], leaves: set[tuple[int, int | None]]) -> tuple[bool, bool]:
    """Whether a blanket is this horse's own, and whether it may wear it."""
    own = blanket.usual_horse_id == horse.pk or (blanket.owner_id in owners and blanket.usual_horse_id is None)
    spare = blanket.owner_id is None and blanket.usual_horse_id in (None, horse.pk)
    leave = (blanket.pk, horse.pk) in leaves or (blanket.pk, None) in leaves
    return own, own or spare or leave or blanket.owner_id in owners


def blankets_for(
    horse: Horse, wanted: Iterable[Blanket], at: datetime, *, granted: Collection[str] = ()
) -> list[outfit.Blanket]:
    """These blankets as the matching sees them for one horse, whether it may wear them or not. granted: tags it may."""
    barn = horse.barn
    today = timezone.localtime(at, barn.zone).date()
    owners = set(horse.owners.filter(current(today)).values_list("person_id", flat=True))
    fits, leaves = _fits(barn), _leaves(barn, today)
    kept: Any = blankets.of(barn).with_condition(barn, at).filter(pk__in=[one.pk for one in wanted]).order_by("tag")
    found = []
    for blanket in kept:
        own, allowed = _leave(blanket, horse, owners, leaves)
        notes = fits.get((blanket.pk, horse.pk), ())
        found.append(blanket_value(blanket, notes, allowed=allowed or blanket.tag in granted, mine=own))
    return found
