"""Who decides what a horse wears: veterinarian's note, owner's chart, house chart, computed advice, in that order.

What a refusal or the heat balance says against a decision stands beside it. Nothing refused is ever the answer.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from functools import partial

from barnrugs.barns.models.barn import HouseModel
from barnrugs.matching import charts, choose
from barnrugs.matching.judge import JudgedOutfit
from barnrugs.matching.reasons import Level, Reason
from barnrugs.matching.strength import FillWord, fill_word
from barnrugs.matching.weather import precipitation_expected
from barnrugs.matching.words import PlaceKind
from horses.enums import VetSays
from horses.models import Horse
from inventory.enums import DecidedBy
from inventory.models import Chart

OBEYED = (HouseModel.CHARTS_OBEYED, HouseModel.STAFF_ADJUST)


class Against(StrEnum):
    """What speaks against a decision."""

    REFUSED = "refused"
    NOT_HERE = "not_here"
    TOO_COLD = "too_cold"
    TOO_WARM = "too_warm"


@dataclass(frozen=True, slots=True)
class Objection:
    """reason: of a refusal. degrees_c: by how much the air leaves the band."""

    kind: Against
    reason: Reason | None = None
    degrees_c: float = 0.0


@dataclass(frozen=True, slots=True)
class Decision:
    """by: who decides. outfit: the answer; None means that no advice is given: ask the veterinarian.

    keeper_says: the note or the chart's line in the keeper's own words; picked: names of common notes. against: what
    speaks against it. read: how the chart was read. acceptable: every outfit that would obey the decision, best first.
    """

    by: DecidedBy
    outfit: JudgedOutfit | None
    acceptable: tuple[JudgedOutfit, ...] = ()
    keeper_says: str = ""
    against: tuple[Objection, ...] = ()
    read: charts.Reading | None = None
    picked: tuple[str, ...] = ()


def decide(
    horse: Horse,
    advice: choose.Advice,
    *,
    owners: Chart | None,
    house: Chart | None,
    house_model: str,
    day: date,
    taken: Collection[str] = (),
) -> Decision:
    """The decision for one horse; tags `taken` by other horses are not to be had."""
    offered = tuple(one for one in advice.outfits if not set(one.tags) & set(taken))
    decision = (
        _vet(horse, advice, offered, day)
        or _must_be_covered(horse, advice, offered)
        or _chart(owners if house_model in OBEYED else None, DecidedBy.OWNER, advice, offered)
        or _chart(house, DecidedBy.HOUSE, advice, offered)
    )
    if decision:
        return decision
    best = next(one for one in offered if one.refused is None)
    return Decision(DecidedBy.COMPUTED, best, tuple(one for one in offered if one.refused is None))


def named_for(horse: Horse, chart: Chart | None) -> tuple[tuple[str, ...], ...]:
    """The outfits that its veterinarian or its owner names by tag: these are judged whatever else is pruned."""
    vet = [tuple(horse.vet_tags.upper().split())] if horse.vet_says == VetSays.THESE else []
    rows = value_of(chart).rows if chart else ()
    return tuple(dict.fromkeys([*vet, *(row.tags for row in rows if row.tags)]))


def _vet(horse: Horse, advice: choose.Advice, offered: tuple[JudgedOutfit, ...], day: date) -> Decision | None:
    if not vet_speaks(horse, day):
        return None
    if horse.vet_says == VetSays.NO_ADVICE:
        return Decision(DecidedBy.VET, None, keeper_says=horse.vet_note)
    return _obeying(
        DecidedBy.VET,
        lambda one: obeys_note(horse, one.tags, one.outfit.fill_g),
        advice,
        offered,
        keeper_says=horse.vet_note,
    )


def vet_speaks(horse: Horse, day: date) -> bool:
    """Whether a veterinarian's note decides on that day."""
    return bool(horse.vet_says) and (horse.vet_until is None or horse.vet_until >= day)


def obeys_note(horse: Horse, tags: Collection[str], fill_g: float) -> bool:
    """Whether an outfit is what the veterinarian's note asks for; where it wants no advice, none is."""
    if horse.vet_says == VetSays.NOTHING_ON:
        return not tags
    if horse.vet_says == VetSays.AT_LEAST:
        return bool(tags) and fill_g >= (horse.vet_fill_g or 0)
    return horse.vet_says == VetSays.THESE and set(tags) == set(horse.vet_tags.upper().split())


def _must_be_covered(horse: Horse, advice: choose.Advice, offered: tuple[JudgedOutfit, ...]) -> Decision | None:
    """A horse that must be covered whatever the rule is covered outdoors when it may rain or snow."""
    if not horse.must_be_covered or not any(precipitation_expected(advice.stay)):
        return None
    return _obeying(DecidedBy.HOUSE, lambda one: bool(one.tags), advice, offered, keeper_says="")


def _chart(
    chart: Chart | None, by: DecidedBy, advice: choose.Advice, offered: tuple[JudgedOutfit, ...]
) -> Decision | None:
    return by_chart(value_of(chart), by, advice, offered) if chart else None


def by_chart(
    chart: charts.Chart, by: DecidedBy, advice: choose.Advice, offered: tuple[JudgedOutfit, ...]
) -> Decision | None:
    """What a chart decides on among what is offered; None where it has a gap for this stay."""
    reading = charts.read(chart, advice.stay)
    if reading.row is None:
        return None
    attempts = [_by_row(by, row, advice, offered, reading) for row in (reading.row, *reading.also)]
    return next((attempt for attempt in attempts if not attempt.against), attempts[0])


def _by_row(
    by: DecidedBy,
    row: charts.Row,
    advice: choose.Advice,
    offered: tuple[JudgedOutfit, ...],
    reading: charts.Reading,
) -> Decision:
    decision = _obeying(by, partial(_follows, row), advice, offered, keeper_says=row.note)
    return replace(decision, read=reading, picked=row.picked)


def _follows(row: charts.Row, one: JudgedOutfit) -> bool:
    if row.neck and not one.neck:
        return False
    if row.tags:
        return set(one.tags) == set(row.tags)
    if row.fill is None:
        return not one.tags
    return bool(one.tags) and fill_word(one.outfit.fill_g) == row.fill


def _obeying(
    by: DecidedBy,
    obeys: Callable[[JudgedOutfit], bool],
    advice: choose.Advice,
    offered: tuple[JudgedOutfit, ...],
    *,
    keeper_says: str,
) -> Decision:
    """The best outfit that obeys; where every such one is refused or none is here, the computed answer with why."""
    found = [one for one in offered if obeys(one)]
    allowed = tuple(one for one in found if one.refused is None)
    if allowed:
        return Decision(by, allowed[0], allowed, keeper_says, tuple(_contradictions(allowed[0])))
    best = next(one for one in offered if one.refused is None)
    refused = next((one for one in found if one.refused), None)
    objection = Objection(Against.REFUSED, _refusal(refused)) if refused else Objection(Against.NOT_HERE)
    return Decision(by, best, (), keeper_says, (objection,))


def _refusal(one: JudgedOutfit) -> Reason:
    return next(reason for reason in one.reasons if reason.level is Level.REFUSAL)


def _contradictions(one: JudgedOutfit) -> list[Objection]:
    """The heat balance speaks up when the air leaves the band by more than 3 degC in some hour."""
    cold, warm = float(one.cold_c.max()), float(one.warm_c.max()) if one.tags else 0.0
    found = []
    if cold > charts.CONTRADICTS_C:
        found.append(Objection(Against.TOO_COLD, degrees_c=cold))
    if warm > charts.CONTRADICTS_C:
        found.append(Objection(Against.TOO_WARM, degrees_c=warm))
    return found


def value_of(chart: Chart) -> charts.Chart:
    """A chart as the matching reads it; its rows must have been fetched."""
    return charts.Chart(
        rows=tuple(
            charts.Row(
                from_c=row.from_c,
                below_c=row.below_c,
                place=PlaceKind(row.place) if row.place else None,
                wet=charts.Wetness(row.wet) if row.wet else None,
                tags=tuple(row.tags.upper().split()),
                fill=FillWord(row.fill) if row.fill else None,
                neck=row.neck,
                note=row.note,
                picked=tuple(row.common.split()),
            )
            for row in chart.rows.all()
        ),
        feels_like=chart.feels_like,
        tolerance_c=chart.tolerance_c,
    )
