"""The barn's blankets over all its horses: one outfit for each, no blanket twice, and who goes short."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from barnrugs.matching.choose import Advice
from barnrugs.matching.judge import JudgedOutfit, half_up
from barnrugs.matching.reasons import METRIC, Code, Reason, Voice, because, joined
from barnrugs.matching.words import Verdict

LIGHTER_COSTS: Final = 1000.0
NO_ANSWER_COSTS: Final = 1000.0
SCORE_COSTS: Final = 10.0
CAUTION_COSTS: Final = 1.0
NOT_ITS_OWN_COSTS: Final = 0.5
NOT_IN_HAND_COSTS: Final = 0.25
LINER_COSTS: Final = 0.12
CHANGE_COSTS: Final = 0.06
LAYER_COSTS: Final = 0.015
GRAM_COSTS: Final = 0.00001
"""What an outfit costs: lighter than what a hand felt the horse cold in, a verdict of no, each point of score, each
caution, not its own, not in hand, a liner it does not like, a change, each layer, each g of fill (A). Each weighs more
than all that follow it, as in a horse's own ranking, so that a horse whose blankets nobody else wants gets what it
would get alone.
"""

TIME_LIMIT_S: Final = 5.0
SAME: Final = 1e-6
"""Costs nearer than this are the same."""


@dataclass(frozen=True, slots=True, eq=False)
class Short:
    """A horse that gets an outfit further from its comfort, or with more cautions, than the best for it.

    because: (tag, who wears it) of what the best would need.
    """

    name: str
    wanted: JudgedOutfit
    given: JudgedOutfit
    because: tuple[tuple[str, str], ...]

    @property
    def text(self) -> str:
        return self.say(METRIC)

    def say(self, voice: Voice) -> str:
        return say_short(self.name, self.because, self.given.tags, self.given.warmth, voice)


def say_short(
    name: str, held: Iterable[tuple[str, str]], given: Sequence[str], warmth: Reason | None, voice: Voice = METRIC
) -> str:
    """One sentence for the barn, and one on what it means to the horse. held: (tag, who wears it)."""
    language = voice.language
    holders = [language.goes_on.format(tag=tag, horse=holder) for tag, holder in held]
    gets = f" {language.under} ".join(given) or language.nothing
    short = because(Code.GOES_SHORT, name=name, held=joined(holders, language.both), given=gets)
    return " ".join(reason.say(voice) for reason in (short, warmth) if reason)


@dataclass(frozen=True, slots=True, eq=False)
class Shared:
    """outfits: by horse, no tag twice. short: who goes short. cost: the sum.

    gap: by what share the sum may be above the least, 0 where proven. inexact: None where proven, else what happened.
    """

    outfits: Mapping[str, JudgedOutfit]
    short: tuple[Short, ...]
    cost: float
    gap: float
    inexact: Reason | None = None

    @property
    def message(self) -> str:
        return self.inexact.text if self.inexact else ""

    @property
    def exact(self) -> bool:
        return self.inexact is None


@dataclass(frozen=True, slots=True, eq=False)
class _Column:
    """One outfit that one horse could get; place: where the horse's own ranking has it."""

    horse: int
    place: int
    cost: float
    tags: frozenset[str]
    judged: JudgedOutfit

    @property
    def preference(self) -> tuple[float, int]:
        return round(self.cost, 6), self.place


def cost(judged: JudgedOutfit) -> float:
    """What one outfit on one horse costs the barn."""
    pieces = [*judged.outfit.layers, *([judged.outfit.neck_cover] if judged.outfit.neck_cover else [])]
    return (
        (LIGHTER_COSTS if judged.lighter_than_felt else 0.0)
        + (NO_ANSWER_COSTS if judged.verdict is Verdict.NO else 0.0)
        + SCORE_COSTS * half_up(judged.score)
        + CAUTION_COSTS * len(judged.cautions)
        + (0.0 if all(piece.mine for piece in pieces) else NOT_ITS_OWN_COSTS)
        + (0.0 if judged.in_hand else NOT_IN_HAND_COSTS)
        + (0.0 if judged.liner_met else LINER_COSTS)
        + (0.0 if judged.worn_now else CHANGE_COSTS)
        + LAYER_COSTS * len(judged.outfit.layers)
        + GRAM_COSTS * judged.outfit.fill_g
    )


def share(advice: Mapping[str, Advice], time_limit_s: float = TIME_LIMIT_S) -> Shared:
    """One outfit that is not refused for each named horse, no blanket twice, at the least sum of costs.

    Exact within the time limit (seconds); after it the best found, with the gap; without any, dealt out one horse at a
    time. Equal sums are settled by the horses' order, then by the horse's own ranking, which ends in the tag.
    """
    columns = [_columns(horse, one) for horse, one in enumerate(advice.values())]
    picked, gap, inexact = _solve(columns, time_limit_s)
    if picked is None:
        picked, gap = _deal_out(columns), float("inf")
    _settle_ties(picked, columns)
    names = list(advice)
    return Shared(
        outfits={name: column.judged for name, column in zip(names, picked, strict=True)},
        short=tuple(_short(names, picked, columns)),
        cost=sum(column.cost for column in picked),
        gap=gap,
        inexact=inexact,
    )


def _columns(horse: int, advice: Advice) -> list[_Column]:
    """A horse's outfits, cheapest first, without those that cost no less than one made of part of their pieces."""
    offered = [
        _Column(horse, place, cost(judged), frozenset(judged.tags), judged)
        for place, judged in enumerate(advice.outfits)
        if judged.refused is None
    ]
    kept: list[_Column] = []
    for column in sorted(offered, key=lambda column: column.preference):
        if not any(better.tags <= column.tags for better in kept):
            kept.append(column)
    return kept


Picked = list[_Column]


def _solve(columns: Sequence[Sequence[_Column]], time_limit_s: float) -> tuple[Picked | None, float, Reason | None]:
    if not _contested(columns):
        return [of_horse[0] for of_horse in columns], 0.0, None
    flat = [column for of_horse in columns for column in of_horse]
    chosen, gap, proven = _search(flat, len(columns), time_limit_s)
    if chosen is None:
        return None, gap, because(Code.SHARE_DEALT, limit_s=f"{time_limit_s:g}")
    picked = [column for column, is_chosen in zip(flat, chosen, strict=True) if is_chosen]
    return picked, gap, None if proven else because(Code.SHARE_STOPPED, limit_s=f"{time_limit_s:g}", gap_pct=100 * gap)


def _contested(columns: Sequence[Sequence[_Column]]) -> bool:
    wanted = Counter(tag for of_horse in columns for tag in of_horse[0].tags)
    return any(count > 1 for count in wanted.values())


def _search(flat: Sequence[_Column], horses: int, limit_s: float) -> tuple[NDArray[np.bool_] | None, float, bool]:
    """Which columns have the least sum; None if none was found in time. The gap, and whether it is proven."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    tags = sorted({tag for column in flat for tag in column.tags})
    uses = _uses(flat, horses, {tag: horses + row for row, tag in enumerate(tags)})
    least = np.concatenate([np.ones(horses), np.zeros(len(tags))])
    found = milp(
        [column.cost for column in flat],
        integrality=np.ones(len(flat)),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(uses, least, np.ones(horses + len(tags))),
        options={"time_limit": limit_s, "mip_rel_gap": 0.0},
    )
    if found.x is None:
        return None, float("inf"), False
    return np.asarray(found.x > 0.5), float(found.mip_gap or 0.0), found.status == 0


def _uses(flat: Sequence[_Column], horses: int, row_of: Mapping[str, int]) -> object:
    """Rows: each horse once, each tag at most once. Columns: as given."""
    from scipy.sparse import csc_array

    rows = [[column.horse, *(row_of[tag] for tag in column.tags)] for column in flat]
    starts = np.cumsum([0, *map(len, rows)])
    indices = np.concatenate([np.array(of_column) for of_column in rows])
    return csc_array((np.ones(len(indices)), indices, starts), shape=(horses + len(row_of), len(flat)))


def _deal_out(columns: Sequence[Sequence[_Column]]) -> Picked:
    """Without a solver's answer: the horse that loses most by going bare first, each the best that is left."""
    picked: dict[int, _Column] = {}
    used: set[str] = set()
    for of_horse in sorted(columns, key=lambda of_horse: (of_horse[0].cost - of_horse[-1].cost, of_horse[0].horse)):
        column = next(column for column in of_horse if not column.tags & used)
        picked[column.horse] = column
        used |= column.tags
    return [picked[horse] for horse in range(len(columns))]


def _settle_ties(picked: Picked, columns: Sequence[Sequence[_Column]]) -> None:
    """Where it costs the barn nothing, let an earlier horse have what it prefers."""
    for horse, of_horse in enumerate(columns):
        for column in of_horse:
            if column.preference >= picked[horse].preference:
                break
            if _exchanged(horse, column, picked, columns):
                break


def _exchanged(horse: int, column: _Column, picked: Picked, columns: Sequence[Sequence[_Column]]) -> bool:
    """Give a horse this column if at most one later horse must then take another, and the sum stays the same."""
    holders = [other for other, held in enumerate(picked) if other != horse and held.tags & column.tags]
    if len(holders) > 1 or any(other < horse for other in holders):
        return False
    others = [held.tags for other, held in enumerate(picked) if other != horse and other not in holders]
    used = column.tags.union(*others)
    swaps = {horse: column}
    for holder in holders:
        free = next((another for another in columns[holder] if not another.tags & used), None)
        if free is None:
            return False
        swaps[holder] = free
    change = sum(new.cost - picked[at].cost for at, new in swaps.items())
    if change > SAME:
        return False
    for at, new in swaps.items():
        picked[at] = new
    return True


def _short(names: Sequence[str], picked: Picked, columns: Sequence[Sequence[_Column]]) -> list[Short]:
    holder = {tag: names[column.horse] for column in picked for tag in column.tags}
    found = []
    for column in picked:
        wanted = columns[column.horse][0]
        if _plainly(column.judged) > _plainly(wanted.judged):
            lost = sorted(tag for tag in wanted.tags if holder.get(tag, names[column.horse]) != names[column.horse])
            because = tuple((tag, holder[tag]) for tag in lost)
            found.append(Short(names[column.horse], wanted.judged, column.judged, because))
    return found


def _plainly(judged: JudgedOutfit) -> tuple[bool, float, int]:
    """What a groom would notice: a gram more or a borrowed blanket is not going short."""
    return judged.lighter_than_felt, half_up(judged.score), len(judged.cautions)
