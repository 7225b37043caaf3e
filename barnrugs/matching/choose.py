"""All outfits of one horse, judged and ranked: the answer to "what does this horse wear"."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from barnrugs.matching.heat import Comfort, NoAnswer, comfort_herd
from barnrugs.matching.herd import check_horse, is_windproof
from barnrugs.matching.horse import Horse
from barnrugs.matching.judge import Judge, JudgedOutfit, lining_met, outer_liked, rank
from barnrugs.matching.outfit import (
    BARE,
    OUTER_KINDS,
    Blanket,
    Outfit,
    Piece,
    Role,
    Wardrobe,
    alone,
    as_worn,
    combined,
    goes_with_any,
    may_lie_under,
)
from barnrugs.matching.reasons import Code, Level, Reason, because
from barnrugs.matching.refusals import (
    TABLE,
    WORDS,
    Situation,
    Subject,
    relies_on_measure,
    situation,
    suits_but_for_kind,
)
from barnrugs.matching.warmth import WEAR_UP_TO
from barnrugs.matching.weather import Stay, check, rain_mm
from barnrugs.matching.wetness import start_soak
from barnrugs.matching.words import Kind, Refusal, Verdict, Waterproofing

DRY_FIRST = frozenset({Code.COOL_FIRST, Code.WALK_FIRST, Code.DRY_FIRST, Code.TOWEL_FIRST})
KEEP_IN = frozenset({Code.KEEP_IN, Code.KEEP_IN_NONE_HERE})


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A blanket that is not offered to this horse in this stay, and why."""

    blanket: Blanket
    refused: Refusal
    reason: Reason


@dataclass(frozen=True, slots=True, eq=False)
class Advice:
    """The ranked answer for one horse and one stay.

    outfits: best first, refused ones last, the bare horse always among them. first: coolers to use before anything
    else, until the horse is dry; then ask again. left_out: every blanket that is not offered, but for those in whose
    stead another, as warm and as good, is worn under or over what they would be. keep_in: set where
    nothing here may be worn and the bare horse is not right either; it is also the first reason of the bare horse.
    """

    horse: Horse
    stay: Stay
    outfits: tuple[JudgedOutfit, ...]
    first: tuple[Blanket, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    keep_in: Reason | None = None

    @property
    def chosen(self) -> JudgedOutfit:
        """The best outfit that is not refused; at worst the bare horse."""
        return self.outfits[0]


@dataclass(frozen=True, slots=True)
class Request:
    """One horse, its stay and the blankets that could come into question; each tag once.

    named: outfits that a keeper asks for by their tags, from the skin outwards: judged in any case, also when refused.
    """

    horse: Horse
    stay: Stay
    blankets: Sequence[Blanket] = ()
    named: tuple[tuple[str, ...], ...] = ()


def choose(horse: Horse, stay: Stay, blankets: Sequence[Blanket]) -> Advice:
    """The ranked outfits of one horse for one stay. Raises heat.NoAnswer outside the model's limits."""
    return choose_herd([Request(horse, stay, blankets)])[0]


def choose_herd(requests: Sequence[Request]) -> list[Advice]:
    """One Advice for each request, in their order, from one pass of the heat balance over the whole barn.

    Raises heat.NoAnswer if any request lies outside the model's limits; `no_answer` tells which.
    """
    prepared = [_prepare(request) for request in requests]
    comforts = comfort_herd([(p.at.horse, p.at.stay, p.outfits) for p in prepared])
    return [_advise(p, comfort) for p, comfort in zip(prepared, comforts, strict=True)]


def no_answer(request: Request) -> NoAnswer | None:
    """Why one request gets no advice, or None if it does."""
    try:
        choose_herd([request])
    except NoAnswer as why:
        return why
    return None


@dataclass(frozen=True, slots=True)
class _Prepared:
    at: Situation
    judge: Judge
    blankets: tuple[Blanket, ...]
    outfits: list[Outfit]


def _prepare(request: Request) -> _Prepared:
    check_horse(request.horse)
    check(request.stay)
    at = situation(request.horse, request.stay)
    blankets = tuple(sorted(request.blankets, key=lambda blanket: blanket.tag))
    judge = Judge(at, _coolers(at, blankets))
    return _Prepared(at, judge, blankets, _outfits(judge, blankets, request.named))


def _coolers(at: Situation, blankets: Sequence[Blanket]) -> list[Blanket]:
    if not at.horse.sweating and not at.is_wet:
        return []
    return [blanket for blanket in blankets if blanket.kind is Kind.COOLER and suits_but_for_kind(blanket, at)]


def _outfits(judge: Judge, blankets: Sequence[Blanket], named: Sequence[tuple[str, ...]]) -> list[Outfit]:
    found = [BARE, *alone(blankets), *combined(_wardrobe(judge, blankets))]
    found += [outfit for tags in (judge.at.horse.on_now, *named) if (outfit := as_worn(tags, blankets))]
    return list({(outfit.tags, outfit.neck): outfit for outfit in found}.values())


def _wardrobe(judge: Judge, blankets: Sequence[Blanket]) -> Wardrobe:
    def usable(pieces: Iterable[Blanket], role: Role) -> list[Piece]:
        return [_piece(judge, blanket, role) for blanket in pieces if not judge.ruling(blanket, role).refusals]

    return Wardrobe(
        outers=usable((blanket for blanket in blankets if blanket.kind in OUTER_KINDS), Role.OUTERMOST),
        inners=usable(filter(may_lie_under, blankets), Role.UNDER),
        covers=usable((blanket for blanket in blankets if blanket.kind is Kind.NECK_COVER), Role.OUTERMOST),
        rains=bool(rain_mm(judge.at.stay).any()),
    )


def _piece(judge: Judge, blanket: Blanket, role: Role) -> Piece:
    return Piece(
        blanket=blanket,
        nature=(is_windproof(blanket), not blanket.breathable, relies_on_measure(blanket)),
        soak=start_soak(blanket),
        cautions=len(judge.ruling(blanket, role).cautions),
        lining_met=lining_met(blanket, judge.at.horse.liner),
        liked=outer_liked(blanket, in_stall=not judge.at.outdoors),
        sheds_rain=blanket.waterproofing is Waterproofing.WATERPROOF and not blanket.proofing_due,
    )


def _advise(prepared: _Prepared, comfort: Comfort) -> Advice:
    judge, in_stall = prepared.judge, not prepared.at.outdoors
    judged = sorted(judge.judge(prepared.outfits, comfort), key=lambda one: rank(one, in_stall=in_stall))
    note = _nothing_to_wear(prepared, judged)
    if note:
        judged = [replace(one, reasons=(note, *one.reasons)) if not one.tags else one for one in judged]
    return Advice(
        horse=prepared.at.horse,
        stay=prepared.at.stay,
        outfits=tuple(judged),
        first=judge.coolers,
        left_out=_left_out(judge, prepared.blankets, judged),
        keep_in=note if note and note.code in KEEP_IN else None,
    )


def _nothing_to_wear(prepared: _Prepared, judged: Sequence[JudgedOutfit]) -> Reason | None:
    """What to say where no blanket may be worn: never a plain nothing."""
    if prepared.at.horse.sweating or prepared.at.warm_day or any(one.tags and one.refused is None for one in judged):
        return None
    if any(_only_too_warm(prepared.judge, blanket) for blanket in prepared.blankets):
        return None
    count = len(prepared.blankets)
    if not _bare_will_do(next(one for one in judged if not one.tags)):
        return because(Code.KEEP_IN, count=count) if count else because(Code.KEEP_IN_NONE_HERE)
    return because(Code.BARE_WILL_DO, count=count) if count else None


def _only_too_warm(judge: Judge, blanket: Blanket) -> bool:
    """Whether nothing speaks against it but that the horse felt warm in less."""
    if Role.OUTERMOST not in _roles(blanket):
        return False
    return {one.code for one in judge.ruling(blanket, Role.OUTERMOST).refusals} == {Code.REFUSED_FELT_WARM}


def _bare_will_do(bare: JudgedOutfit) -> bool:
    if bare.verdict is Verdict.NO:
        return False
    return bare.score <= WEAR_UP_TO and all(caution.code in DRY_FIRST for caution in bare.cautions)


def _left_out(judge: Judge, blankets: Sequence[Blanket], judged: Sequence[JudgedOutfit]) -> tuple[LeftOut, ...]:
    """Blankets that no outfit offers: refused in every role, or alone, or with nothing here to be worn with."""
    offered = {tag for one in judged if one.refused is None for tag in one.tags}
    found = []
    for blanket in blankets:
        reason = None if blanket.tag in offered else _why_left_out(judge, blanket, blankets, judged)
        if reason:
            found.append(LeftOut(blanket, WORDS[reason.code], reason))
    return tuple(found)


def _why_left_out(
    judge: Judge, blanket: Blanket, blankets: Sequence[Blanket], judged: Sequence[JudgedOutfit]
) -> Reason | None:
    """None where it could be worn, and only others that are alike stand for it."""
    rulings = [judge.ruling(blanket, role) for role in _roles(blanket)]
    if all(ruling.refused for ruling in rulings):
        return rulings[0].refusals[0]
    refused = next((one for one in judged if blanket.tag in one.tags), None)
    if refused:
        return next(reason for reason in refused.reasons if reason.level is Level.REFUSAL)
    code = TABLE[Subject.CARRIED, goes_with_any(blanket, _wardrobe(judge, blankets))]
    return because(code, tag=blanket.tag) if code else None


def _roles(blanket: Blanket) -> list[Role]:
    outermost = [] if blanket.kind is Kind.LINER else [Role.OUTERMOST]
    return outermost + ([Role.UNDER] if may_lie_under(blanket) or not outermost else [])
