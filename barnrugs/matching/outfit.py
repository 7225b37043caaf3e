"""Blankets and what can be worn together.

An outfit is nothing, one blanket, or one or two inner layers under an outer one; a removable neck or a neck cover on
or off. At most one layer is waterproof, and it is the outermost. A liner is never worn alone.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
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
"""How many of those that are alike are kept; above two, so that layers may exclude each other."""


class Role(StrEnum):
    """Where in an outfit a piece is worn; a neck cover lies outermost on the neck."""

    OUTERMOST = "outermost"
    UNDER = "under"


@dataclass(frozen=True, slots=True)
class Piece:
    """One blanket in one role, with what tells outfits apart.

    nature: what the heat balance and the judge see of it besides fill and soak, each True if so. cautions: how many it
    brings. lining_met: it lies on the coat as the horse likes it. liked: of the kind preferred outermost at this place.
    sheds_rain: it keeps the rain off itself and what is under it.
    """

    blanket: Blanket
    nature: tuple[bool, ...]
    soak: float
    cautions: int
    lining_met: bool
    liked: bool
    sheds_rain: bool


@dataclass(frozen=True, slots=True)
class Wardrobe:
    """What one horse may wear in one stay, by role; a sheet may be outer and inner. rains: rain falls on it."""

    outers: Sequence[Piece]
    inners: Sequence[Piece]
    covers: Sequence[Piece]
    rains: bool


Pieces = tuple[Piece, ...]
Ranked = tuple[Any, Outfit]


def alone(blankets: Iterable[Blanket]) -> list[Outfit]:
    """One outfit for every blanket that is not worn under or beside another one only; a removable neck is off."""
    return [Outfit((blanket,), blanket.neck is Neck.FIXED) for blanket in blankets if blanket.kind not in NEVER_ALONE]


def combined(wardrobe: Wardrobe) -> list[Outfit]:
    """The outfits of several pieces, pruned: everything with a neck put on, and everything with two or three layers.

    Twenty blankets make thousands. Of those that are alike, equally warm above all, the ranking tells apart only
    cautions, lining, number of layers, the kind outermost and tags, so the best KEPT_OF_A_KIND by these are kept: the
    best outfit of one horse is never lost, and a whole barn still finds second and third choices, of the horse's own
    blankets first. The outfit worn now is the caller's to add.
    """
    found: dict[Hashable, list[Ranked]] = {}
    covers = sorted(wardrobe.covers, key=_outer_rank)[:KEPT_OF_A_KIND]
    for layers in (*((outer,) for outer in wardrobe.outers), *_layered(wardrobe)):
        for cover, neck in _necks(layers, covers):
            alike = neck, _likeness(layers, exposed=wardrobe.rains and not layers[-1].sheds_rain)
            outfit = Outfit(_blankets(layers), neck, cover.blanket if cover else None)
            found.setdefault(alike, []).append((_rank(layers, cover, outfit), outfit))
    return [outfit for outfits in found.values() for outfit in _best(outfits)]


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


def _can_be_worn(layers: tuple[Blanket, ...]) -> bool:
    *inner, outer = layers
    fits_under = all(may_lie_under(blanket) for blanket in inner)
    not_too_much = len(inner) <= MOST_INNER_LAYERS and sum(layer.fill_g for layer in layers) <= limits.FILL_G[1]
    return outer.kind in OUTER_KINDS and fits_under and not_too_much


def _necks(layers: Pieces, covers: Sequence[Piece]) -> Iterator[tuple[Piece | None, bool]]:
    """How the neck can be: but for a single layer as it is anyway, which stands among the outfits already."""
    neck = layers[-1].blanket.neck
    if len(layers) > 1:
        yield None, neck is Neck.FIXED
    if neck is Neck.REMOVABLE:
        yield None, True
    if neck is Neck.NONE:
        yield from ((cover, True) for cover in covers)


def _layered(wardrobe: Wardrobe) -> Iterator[Pieces]:
    """Inner layers under outer ones: of each kind of outer some, since an inner layer may be the same blanket."""
    groups = {exposed: _inner_groups(wardrobe.inners, exposed=exposed) for exposed in {False, wardrobe.rains}}
    for outer in _some_of_each(wardrobe.outers, lambda outer: _outer_kind(outer, wardrobe), _outer_rank):
        for inners in groups[wardrobe.rains and not outer.sheds_rain]:
            inner = next((one for one in inners if _goes_under(one, outer)), None)
            if inner:
                yield (*inner, outer)


def goes_with_any(blanket: Blanket, wardrobe: Wardrobe) -> bool:
    """Whether one that is worn only with another has an outer one to go with: a neck cover beside, others under it."""
    outers = [piece.blanket for piece in wardrobe.outers if piece.blanket is not blanket]
    if blanket.kind is Kind.NECK_COVER:
        return any(outer.neck is Neck.NONE for outer in outers)
    return any(outer.fill_g + blanket.fill_g <= limits.FILL_G[1] for outer in outers)


def _goes_under(inner: Pieces, outer: Piece) -> bool:
    is_another = all(piece.blanket is not outer.blanket for piece in inner)
    return is_another and sum(piece.blanket.fill_g for piece in (*inner, outer)) <= limits.FILL_G[1]


def _inner_groups(inners: Sequence[Piece], *, exposed: bool) -> list[list[Pieces]]:
    """One or two inner layers, from the skin outwards, in groups that are alike, each group best first."""
    some = _some_of_each(inners, lambda piece: (piece.blanket.kind, _likeness((piece,), exposed=exposed)), _inner_rank)
    some.sort(key=lambda piece: (INNER_KINDS.index(piece.blanket.kind), not piece.lining_met, piece.blanket.tag))
    groups: dict[Hashable, list[Pieces]] = {}
    for count in range(1, MOST_INNER_LAYERS + 1):
        for layers in combinations(some, count):
            groups.setdefault(_likeness(layers, exposed=exposed), []).append(layers)
    return [sorted(group, key=_inners_rank) for group in groups.values()]


def _some_of_each(
    pieces: Sequence[Piece], kind: Callable[[Piece], Hashable], rank: Callable[[Piece], Any]
) -> list[Piece]:
    groups: dict[Hashable, list[Piece]] = {}
    for piece in sorted(pieces, key=rank):
        groups.setdefault(kind(piece), []).append(piece)
    return [piece for group in groups.values() for piece in group[:KEPT_OF_A_KIND]]


def _likeness(layers: Pieces, *, exposed: bool) -> Hashable:
    """Equal for layers that are equally warm. exposed: rain reaches them, so that their cloth and order matter."""
    fill_g = sum(piece.blanket.fill_g for piece in layers)
    nature = tuple(map(any, zip(*(piece.nature for piece in layers), strict=True)))
    if exposed or any(piece.soak for piece in layers):
        return fill_g, nature, tuple(map(_wetting, layers))
    return fill_g, nature


def _wetting(piece: Piece) -> Hashable:
    return piece.blanket.waterproofing, piece.sheds_rain, piece.soak, piece.blanket.fill_g


def _outer_kind(outer: Piece, wardrobe: Wardrobe) -> Hashable:
    exposed = wardrobe.rains and not outer.sheds_rain
    return outer.blanket.neck, exposed, _likeness((outer,), exposed=exposed)


def _outer_rank(outer: Piece) -> tuple[Any, ...]:
    return outer.cautions, not outer.liked, outer.blanket.tag


def _inner_rank(inner: Piece) -> tuple[Any, ...]:
    return inner.cautions, not inner.lining_met, inner.blanket.tag


def _inners_rank(inners: Pieces) -> tuple[Any, ...]:
    cautions = sum(piece.cautions for piece in inners)
    return cautions, not inners[0].lining_met, len(inners), tuple(piece.blanket.tag for piece in inners)


def _rank(layers: Pieces, cover: Piece | None, outfit: Outfit) -> tuple[Any, ...]:
    cautions = sum(piece.cautions for piece in layers) + (cover.cautions if cover else 0)
    return cautions, not layers[0].lining_met, len(layers), not layers[-1].liked, outfit.tags


def _blankets(layers: Pieces) -> tuple[Blanket, ...]:
    return tuple(piece.blanket for piece in layers)


def _best(outfits: list[Ranked]) -> list[Outfit]:
    """The best, and of the others the horse's own first."""
    first, *others = sorted(outfits, key=lambda ranked: ranked[0])
    others.sort(key=lambda ranked: not all(layer.mine for layer in ranked[1].layers))
    return [outfit for _, outfit in (first, *others[: KEPT_OF_A_KIND - 1])]
