"""Blankets and what can be worn together."""

from dataclasses import dataclass

from barnrugs.matching.words import Cut, Fit, Front, Kind, Lining, Neck, State, Waterproofing


@dataclass(frozen=True, slots=True)
class Blanket:
    """One blanket as the matching sees it.

    size_in: chest to tail in inches; size_back_cm: continental back length in cm; as entered, never converted into each
    other. fill_g: fill in g/m2. denier: yarn mass of the shell in g per 9 km (ISO 1144, ISO 2060, M); None if unknown.
    soak: 0 dry to 1 soaked. allowed: False when it is another owner's and no leave was given. windproof: None derives it from
    kind and waterproofing. mine: belongs to the horse's own wardrobe (not the barn's, not another's).
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
