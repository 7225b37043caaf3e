"""All outfits of one horse, judged and ranked: the answer to "what does this horse wear"."""

from collections.abc import Sequence
from dataclasses import dataclass

from barnrugs.matching.horse import Horse
from barnrugs.matching.judge import JudgedOutfit
from barnrugs.matching.outfit import Blanket
from barnrugs.matching.reasons import Reason
from barnrugs.matching.weather import Stay
from barnrugs.matching.words import Refusal


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A blanket that is not offered to this horse in this stay, and why."""

    blanket: Blanket
    refused: Refusal
    reason: Reason


@dataclass(frozen=True, slots=True, eq=False)
class Advice:
    """The ranked answer for one horse and one stay; `outfits` best first, refused ones last, bare always among them."""

    horse: Horse
    stay: Stay
    outfits: tuple[JudgedOutfit, ...]
    first: tuple[Blanket, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    keep_in: Reason | None = None

    @property
    def chosen(self) -> JudgedOutfit:
        return self.outfits[0]


@dataclass(frozen=True, slots=True)
class Request:
    """One horse, its stay and the blankets that could come into question."""

    horse: Horse
    stay: Stay
    blankets: Sequence[Blanket] = ()


def choose(horse: Horse, stay: Stay, blankets: Sequence[Blanket]) -> Advice:
    """The ranked outfits of one horse for one stay. Raises heat.NoAnswer outside the model's limits."""
    return choose_herd([Request(horse, stay, blankets)])[0]


def choose_herd(requests: Sequence[Request]) -> list[Advice]:
    """One Advice per request, in their order, with one pass of the heat balance over the whole barn."""
    raise NotImplementedError
