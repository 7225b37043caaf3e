"""What a hand felt of late, as the matching is told it: for two hours it stands beside everything that is computed."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from barnrugs.matching import horse as matching_horse
from barnrugs.matching.learn import FAR_C
from barnrugs.matching.limits import OFFSET_C
from barnrugs.matching.words import Kind, Neck
from inventory.enums import Felt, Waterproofing
from inventory.models import HandCheck


def as_felt(value: matching_horse.Horse, check: HandCheck, blankets: Mapping[str, Any]) -> matching_horse.Horse:
    """The horse as a hand just felt it: sweating, nothing goes on before it is dry; warm, nothing warmer than it wore;
    cold or cool, nothing lighter, and its band so far up that what it wore then was too little, or just enough.

    A blanket that is no longer kept counts as nothing.
    """
    if check.felt == Felt.SWEATING:
        return replace(value, sweating=True, felt_warm=matching_horse.NOTHING_AT_ALL)
    if check.felt == Felt.WARM:
        return replace(value, felt_warm=_weight(check.tags, blankets))
    if check.felt in BELOW_C:
        return replace(value, offset_c=_up(value.offset_c, check), felt_cold=_weight(check.tags, blankets))
    return value


def speaks_against(check: HandCheck, tags: Iterable[str], blankets: Mapping[str, Any]) -> bool:
    """Whether what a hand felt speaks against wearing these: sweating, against anything filled or waterproof; warm,
    against more than it wore then; cold, against no more; cool, against less.
    """
    if check.felt == Felt.SWEATING:
        worn = [blankets[tag] for tag in tags if tag in blankets]
        return any(one.fill_g or one.waterproofing != Waterproofing.NONE for one in worn)
    then, now = _weight(check.tags, blankets), _weight(tags, blankets)
    if check.felt == Felt.WARM:
        return _more(now, then) or (now.neck and not then.neck)
    return (check.felt == Felt.COLD and not _more(now, then)) or (check.felt == Felt.COOL and _more(then, now))


def _more(one: matching_horse.WornThen, other: matching_horse.WornThen) -> bool:
    return (one.fill_g, one.layers) > (other.fill_g, other.layers)


BELOW_C = {Felt.COLD: FAR_C, Felt.COOL: 0.0}
"""So far below the band a hand feels it, as `matching.learn` has it (A)."""


def _up(offset_c: float, check: HandCheck) -> float:
    """The offset at which what was felt is what is computed, never less than what was learned before."""
    below = BELOW_C[Felt(check.felt)]
    needed = offset_c + below if check.above_low_c is None else check.above_low_c + below
    return min(OFFSET_C[1], max(offset_c, needed))


def _weight(tags: Iterable[str], blankets: Mapping[str, Any]) -> matching_horse.WornThen:
    worn = [blankets[tag] for tag in tags if tag in blankets]
    layers = [one for one in worn if one.kind != Kind.NECK_COVER]
    neck = len(layers) < len(worn) or any(one.neck == Neck.FIXED for one in layers)
    return matching_horse.WornThen(float(sum(one.fill_g for one in layers)), len(layers), neck)
