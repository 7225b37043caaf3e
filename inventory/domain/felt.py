"""What a hand felt of late, as the matching is told it: for two hours it stands beside everything that is computed."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from barnrugs.matching import horse as matching_horse
from barnrugs.matching.words import Kind, Neck
from inventory.enums import Felt
from inventory.models import HandCheck


def as_felt(value: matching_horse.Horse, check: HandCheck, blankets: Mapping[str, Any]) -> matching_horse.Horse:
    """The horse as a hand just felt it: sweating, nothing goes on before it is dry; warm, nothing warmer than it wore.

    A blanket that is no longer kept counts as nothing, so that the limit is rather too low than too high.
    """
    if check.felt == Felt.SWEATING:
        return replace(value, sweating=True, felt_warm=matching_horse.NOTHING_AT_ALL)
    if check.felt == Felt.WARM:
        return replace(value, felt_warm=_worn_then(check, blankets))
    return value


def _worn_then(check: HandCheck, blankets: Mapping[str, Any]) -> matching_horse.FeltWarm:
    worn = [blankets[tag] for tag in check.tags if tag in blankets]
    layers = [one for one in worn if one.kind != Kind.NECK_COVER]
    neck = len(layers) < len(worn) or any(one.neck == Neck.FIXED for one in layers)
    return matching_horse.FeltWarm(float(sum(one.fill_g for one in layers)), len(layers), neck)
