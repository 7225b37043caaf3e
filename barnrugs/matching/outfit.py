"""Blankets and what can be worn together.

An outfit is nothing, one blanket, or one or two inner layers under an outer one; a removable neck or a neck cover on
or off. At most one layer is waterproof, and it is the outermost. A liner is never worn alone.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations, islice
from typing import Any, Final

from barnrugs.matching import limits
from barnrugs.matching.words import Cut, Fit, Front, Kind, Lining, Neck, State, Waterproofing


@dataclass(frozen=True, slots=True)
class Blanket:
    """One blanket as the matching sees it.

    size_in: chest to tail in inches; size_back_cm: continental back length in cm; as entered, never converted into each
    other. fill_g: fill in g/m2. denier: yarn mass of the shell in g per 9 km (ISO 1144, ISO 2060, M); None if unknown.
    soak: 0 dry to 1 soaked. allowed: False when it is another owner's and no leave was given. windproof: None derives
    it from kind and waterproofing. mine: belongs to the horse's own wardrobe (not the barn's, not another's).
    """

    tag: str
    kind: Kind
    size_in: float | None = None
    size_back_cm: float | None = None
    fill_g: float = 0.0
    denier: int | None = None
    waterproofing: Waterproofing = Waterproofing.NONE
    breathable: bool = True
    neck: Neck = Neck.NONE
    cut: Cut = Cut.STANDARD
    front: Front = Front.BUCKLE
    liner: Lining | None = None
    soak: float = 0.0
    state: State = State.READY
    allowed: bool = True
    fit: Fit | None = None
    rubs_where: str = ""
    windproof: bool | None = None
    wash_due: bool = False
    proofing_due: bool = False
    temporary_fix: bool = False
    back_seam: bool = False
    mine: bool = True


@dataclass(frozen=True, slots=True)
class Outfit:
    """Layers from the skin outwards, and whether the neck is covered.

    neck: the outer's removable neck is on, or it is fixed, or neck_cover is worn. An empty outfit is the bare horse.
    """

    layers: tuple[Blanket, ...] = ()
    neck: bool = False
    neck_cover: Blanket | None = None

    @property
    def outer(self) -> Blanket | None:
        return self.layers[-1] if self.layers else None

    @property
    def tags(self) -> tuple[str, ...]:
        cover = (self.neck_cover.tag,) if self.neck_cover else ()
        return tuple(layer.tag for layer in self.layers) + cover

    @property
    def fill_g(self) -> float:
        return sum(layer.fill_g for layer in self.layers)


BARE = Outfit()

INNER_KINDS: Final = (Kind.LINER, Kind.SHEET, Kind.STABLE)
"""What may be worn under another layer, from the skin outwards."""

OUTER_KINDS: Final = frozenset({Kind.TURNOUT, Kind.RAIN_SHEET, Kind.SHEET, Kind.STABLE})
NEVER_ALONE: Final = frozenset({Kind.LINER, Kind.NECK_COVER})
MOST_INNER_LAYERS: Final = 2

KEPT_OF_A_KIND: Final = 3
"""How many outfits of several pieces are kept of those that are alike."""

Layers = tuple[Blanket, ...]


class Role(StrEnum):
    """Where in an outfit a piece is worn; a neck cover lies outermost on the neck."""

    OUTERMOST = "outermost"
    UNDER = "under"


@dataclass(frozen=True)
class Wardrobe:
    """What one horse may wear in one stay, by role; a sheet may stand under both outers and inners.

    alike: equal for outfits that the judge cannot tell apart but by what follows. trouble: how many cautions a blanket
    brings in a role. lining_met: whether a blanket lies on the coat as the horse likes it. outer_liked: whether a
    blanket is of the kind preferred outermost at this place.
    """

    outers: Sequence[Blanket]
    inners: Sequence[Blanket]
    covers: Sequence[Blanket]
    alike: Callable[[Outfit], Hashable]
    trouble: Callable[[Blanket, Role], int]
    lining_met: Callable[[Blanket], bool]
    outer_liked: Callable[[Blanket], bool]


def alone(blankets: Iterable[Blanket]) -> list[Outfit]:
    """One outfit for every blanket that is not worn under or beside another one only; a removable neck is off."""
    return [Outfit((blanket,), blanket.neck is Neck.FIXED) for blanket in blankets if blanket.kind not in NEVER_ALONE]


def combined(wardrobe: Wardrobe) -> list[Outfit]:
    """The outfits of several pieces, pruned: everything with a neck put on, and everything with two or three layers.

    Twenty blankets make thousands. Of those that are alike, equally warm above all, the ranking tells apart only
    cautions, lining, number of layers, the kind outermost and tags, so the best KEPT_OF_A_KIND by these are kept: the
    best outfit of one horse is never lost, and a whole barn still finds second and third choices. The outfit worn now
    is the caller's to add.
    """
    found: dict[Hashable, list[tuple[Any, Outfit]]] = {}
    for outfit in _candidates(wardrobe):
        if outfit.fill_g <= limits.FILL_G[1]:
            found.setdefault(wardrobe.alike(outfit), []).append((_rank(outfit, wardrobe), outfit))
    return [outfit for alike in found.values() for _, outfit in sorted(alike, key=_first)[:KEPT_OF_A_KIND]]


def as_worn(tags: Sequence[str], blankets: Iterable[Blanket]) -> Outfit | None:
    """The outfit of these tags, in the given order from the skin outwards; None if it is not one that can be worn."""
    by_tag = {blanket.tag: blanket for blanket in blankets}
    worn = [by_tag[tag] for tag in dict.fromkeys(tags) if tag in by_tag]
    covers = [blanket for blanket in worn if blanket.kind is Kind.NECK_COVER]
    layers = tuple(blanket for blanket in worn if blanket.kind is not Kind.NECK_COVER)
    if len(worn) < len(set(tags)) or len(covers) > 1 or not layers or not _can_be_worn(layers):
        return None
    if covers:
        return Outfit(layers, neck=True, neck_cover=covers[0]) if layers[-1].neck is Neck.NONE else None
    return Outfit(layers, layers[-1].neck is Neck.FIXED)


def may_lie_under(blanket: Blanket) -> bool:
    return blanket.kind in INNER_KINDS and blanket.waterproofing is not Waterproofing.WATERPROOF


def _can_be_worn(layers: Layers) -> bool:
    *inner, outer = layers
    fits_under = all(may_lie_under(blanket) for blanket in inner)
    not_too_much = len(inner) <= MOST_INNER_LAYERS and sum(layer.fill_g for layer in layers) <= limits.FILL_G[1]
    return outer.kind in OUTER_KINDS and fits_under and not_too_much


def _first(pair: tuple[Any, Any]) -> Any:
    return pair[0]


def _candidates(wardrobe: Wardrobe) -> Iterator[Outfit]:
    for outer in wardrobe.outers:
        yield from _with_necks((outer,), wardrobe.covers, put_on=True)
    for layers in _layered(wardrobe):
        yield from _with_necks(layers, wardrobe.covers)


def _with_necks(layers: Layers, covers: Sequence[Blanket], *, put_on: bool = False) -> Iterator[Outfit]:
    neck = layers[-1].neck
    if not put_on:
        yield Outfit(layers, neck is Neck.FIXED)
    if neck is Neck.REMOVABLE:
        yield Outfit(layers, neck=True)
    if neck is Neck.NONE:
        yield from (Outfit(layers, neck=True, neck_cover=cover) for cover in covers)


def _layered(wardrobe: Wardrobe) -> Iterator[Layers]:
    inner_groups = _alike(_inner_sets(wardrobe), wardrobe.alike, lambda layers: _inner_rank(layers, wardrobe))
    outer_groups = _alike(
        [(outer,) for outer in wardrobe.outers],
        lambda outfit: (wardrobe.alike(outfit), outfit.layers[0].neck),
        lambda layers: _outer_rank(layers[0], wardrobe),
    )
    for outers in outer_groups:
        for (outer,) in outers[:KEPT_OF_A_KIND]:
            for inners in inner_groups:
                free = (inner for inner in inners if all(layer is not outer for layer in inner))
                yield from ((*inner, outer) for inner in islice(free, KEPT_OF_A_KIND))


def _inner_sets(wardrobe: Wardrobe) -> list[Layers]:
    ordered = sorted(wardrobe.inners, key=lambda blanket: _from_the_skin(blanket, wardrobe))
    return [layers for count in range(1, MOST_INNER_LAYERS + 1) for layers in combinations(ordered, count)]


def _from_the_skin(blanket: Blanket, wardrobe: Wardrobe) -> tuple[int, bool, str]:
    return INNER_KINDS.index(blanket.kind), not wardrobe.lining_met(blanket), blanket.tag


def _alike(
    sets: Iterable[Layers], alike: Callable[[Outfit], Hashable], rank: Callable[[Layers], Any]
) -> list[list[Layers]]:
    groups: dict[Hashable, list[Layers]] = {}
    for layers in sets:
        groups.setdefault(alike(Outfit(layers)), []).append(layers)
    return [sorted(group, key=rank) for group in groups.values()]


def _inner_rank(layers: Layers, wardrobe: Wardrobe) -> tuple[Any, ...]:
    trouble = sum(wardrobe.trouble(layer, Role.UNDER) for layer in layers)
    return trouble, not wardrobe.lining_met(layers[0]), len(layers), Outfit(layers).tags


def _outer_rank(outer: Blanket, wardrobe: Wardrobe) -> tuple[Any, ...]:
    return wardrobe.trouble(outer, Role.OUTERMOST), not wardrobe.outer_liked(outer), outer.tag


def _rank(outfit: Outfit, wardrobe: Wardrobe) -> tuple[Any, ...]:
    *inner, outer = outfit.layers
    outermost = [outer, outfit.neck_cover] if outfit.neck_cover else [outer]
    trouble = sum(wardrobe.trouble(piece, Role.OUTERMOST) for piece in outermost)
    trouble += sum(wardrobe.trouble(piece, Role.UNDER) for piece in inner)
    lining = not wardrobe.lining_met(outfit.layers[0])
    return trouble, lining, len(outfit.layers), not wardrobe.outer_liked(outer), outfit.tags
