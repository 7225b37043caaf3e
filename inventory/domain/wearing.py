"""Putting on, taking off and changing: what a horse wears, and where the blanket goes that comes off."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils import formats, timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns import journal
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.matching.words import Kind
from horses.models import Horse
from inventory.enums import Keeping
from inventory.models import Blanket, Placing, Wearing
from inventory.queries import blankets, wearings

TOP_LAYER = 4


@dataclass(frozen=True)
class Fate:
    """What becomes of a blanket that comes off: wet ones dry at a named place, dry ones go to their rack."""

    wet: bool = False
    soaked: bool = False
    place: str = ""


@transaction.atomic
def put_on(
    blanket: Blanket,
    *,
    horse: Horse,
    actor: Actor,
    layer: int | None = None,
    neck_on: bool = False,
    why: str = "",
    before: Wearing | None = None,
) -> Wearing:
    """Puts a blanket on a horse, outermost unless a layer is named. Refused when it is worn: on whom, since when.

    before: how it was on this horse a moment ago, in another layer or with its neck otherwise.
    """
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    _refuse_worn(blanket)
    _refuse_out_of_hand(blanket, actor)
    wearing = Wearing(
        barn=actor.barn,
        blanket=blanket,
        horse=horse,
        layer=layer or _next_layer(horse),
        neck_on=neck_on,
        soaked_at=before.soaked_at if before else None,
        unbroken_since=before.since if before else None,
        on_at=actor.at,
        on_by=actor.person,
    )
    return _begin(wearing, actor, why)


@transaction.atomic
def take_off(wearing: Wearing, *, actor: Actor, fate: Fate = Fate(), why: str = "", moved: bool = False) -> Wearing:
    """Takes a blanket off and says where it went. Refused when somebody else already took it off.

    A soaked one is wet whatever is said. moved: it goes on again at once, in another layer or with its neck otherwise.
    """
    wearing = Wearing.objects.select_for_update(of=("self",)).select_related("blanket", "horse").get(pk=wearing.pk)
    if wearing.off_at:
        raise Refused(
            _("%(who)s took %(tag)s off %(horse)s at %(time)s.")
            % {
                "who": wearing.off_by,
                "tag": wearing.blanket,
                "horse": wearing.horse,
                "time": _clock(wearing.off_at),
            }
        )
    if actor.there_at and actor.there_at < wearing.on_at:
        raise Refused(_("%(tag)s only went on at %(time)s.") % {"tag": wearing.blanket, "time": _clock(wearing.on_at)})
    if wearing.soaked_at and not moved:
        fate = replace(fate, wet=True, soaked=True)
    # Whoever waited for somebody else's change was called before it and acts after it.
    wearing.off_at, wearing.off_by = max(actor.at, wearing.on_at), actor.person
    wearing.save(update_fields=["off_at", "off_by"])
    placing = _place(wearing.blanket, fate, actor)
    journal.write(
        actor,
        "blanket_taken_off",
        about=[wearing.horse, wearing.blanket],
        before={"layer": wearing.layer, "neck_on": wearing.neck_on, "on_at": wearing.on_at},
        after={"where": placing.kind, "place": placing.place, "soaked": placing.soaked},
        why=why,
    )
    return wearing


@transaction.atomic
def put_back(ended: Wearing, *, actor: Actor, why: str = "") -> Wearing:
    """Takes back a taking off that never happened: the blanket is on the horse, whatever is wrong with it."""
    blanket = Blanket.objects.select_for_update().get(pk=ended.blanket_id)
    _refuse_worn(blanket)
    again = Wearing(
        barn=actor.barn,
        blanket=blanket,
        horse=ended.horse,
        layer=ended.layer,
        neck_on=ended.neck_on,
        soaked_at=ended.soaked_at,
        unbroken_since=ended.since,
        on_at=max(actor.at, ended.off_at or actor.at),
        on_by=actor.person,
    )
    return _begin(again, actor, why)


def _begin(wearing: Wearing, actor: Actor, why: str) -> Wearing:
    with refusing(_taken_just_now(wearing.horse)):
        wearing.save(force_insert=True)
    _close_placing(wearing.blanket, actor.at)
    after = {"layer": wearing.layer, "neck_on": wearing.neck_on}
    journal.write(actor, "blanket_put_on", about=[wearing.horse, wearing.blanket], after=after, why=why)
    return wearing


def _taken_just_now(horse: Horse) -> dict[str, str]:
    blanket = _("Somebody put this blanket on a horse just now.")
    layer = _("Somebody put another blanket on %(horse)s just now.") % {"horse": horse.name}
    return {
        "blanket_on_one_horse": blanket,
        "inventory_wearing.blanket_id": blanket,
        "horse_one_blanket_a_layer": layer,
        "inventory_wearing.horse_id, inventory_wearing.layer": layer,
    }


@transaction.atomic
def change(
    horse: Horse,
    *,
    to: Sequence[Blanket],
    actor: Actor,
    neck_on: bool = False,
    fate: Fate = Fate(),
    why: str = "",
) -> list[Wearing]:
    """Makes a horse wear exactly these blankets, innermost first: what is not among them comes off, what is stays on.

    A change of layer or neck is a taking off and putting on of the same blanket, without a trip to the rack in between.
    """
    Horse.objects.select_for_update().get(pk=horse.pk)
    _refuse_too_many(to)
    wanted = {blanket.pk: _layer_of(blanket, number) for number, blanket in enumerate(to, start=1)}
    staying: list[Wearing] = []
    moved: dict[int, Wearing] = {}
    for wearing in list(wearings.open_on(horse)):
        if wanted.get(wearing.blanket_id) == wearing.layer and wearing.neck_on == _neck(wearing.blanket, neck_on):
            staying.append(wearing)
        else:
            kept = wearing.blanket_id in wanted
            off = take_off(wearing, actor=actor, fate=Fate() if kept else fate, why=why, moved=kept)
            moved |= {off.blanket_id: off} if kept else {}
    already = {wearing.blanket_id for wearing in staying}
    return staying + [
        put_on(
            blanket,
            horse=horse,
            layer=wanted[blanket.pk],
            neck_on=_neck(blanket, neck_on),
            actor=actor,
            why=why,
            before=moved.get(blanket.pk),
        )
        for blanket in to
        if blanket.pk not in already
    ]


@transaction.atomic
def mark_soaked(wearing: Wearing, *, actor: Actor) -> Wearing:
    """Notes that a blanket on a horse was found soaked: the matching refuses it from then on."""
    wearing = Wearing.objects.select_for_update(of=("self",)).select_related("blanket", "horse").get(pk=wearing.pk)
    if wearing.off_at:
        raise Refused(_("%(tag)s is no longer on %(horse)s.") % {"tag": wearing.blanket, "horse": wearing.horse})
    if not wearing.soaked_at:
        wearing.soaked_at = actor.at
        wearing.save(update_fields=["soaked_at"])
        journal.write(actor, "blanket_found_soaked", about=[wearing.horse, wearing.blanket], after={"soaked": True})
    return wearing


@transaction.atomic
def hang_up(blanket: Blanket, *, actor: Actor) -> Placing:
    """A drying blanket was felt to be dry and goes back to its rack."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    _refuse_worn(blanket)
    placing = _place(blanket, Fate(), actor)
    journal.write(actor, "blanket_hung_up", about=[blanket], after={"place": placing.place})
    return placing


def _refuse_too_many(to: Sequence[Blanket]) -> None:
    layers = {_layer_of(blanket, number) for number, blanket in enumerate(to, start=1)}
    if len(layers) < len(to) or max(layers, default=0) > TOP_LAYER:
        raise Refused(too_many_layers(), field="tags")


def too_many_layers() -> str:
    return _("A horse wears at most %(count)d layers, a neck cover as the outermost one.") % {"count": TOP_LAYER}


def _layer_of(blanket: Blanket, number: int) -> int:
    return TOP_LAYER if blanket.kind == Kind.NECK_COVER else number


def _neck(blanket: Blanket, neck_on: bool) -> bool:
    return neck_on and blanket.neck != "none"


def _next_layer(horse: Horse) -> int:
    taken = set(wearings.open_on(horse).values_list("layer", flat=True))
    for layer in range(1, TOP_LAYER + 1):
        if layer not in taken and all(below in taken for below in range(1, layer)):
            return layer
    raise Refused(
        _("%(horse)s already wears %(count)d layers. Take one off first.") % {"horse": horse.name, "count": len(taken)}
    )


def _refuse_worn(blanket: Blanket) -> None:
    worn = wearings.open_of(blanket)
    if worn:
        raise Refused(
            _("%(tag)s is on %(horse)s: %(who)s put it on at %(time)s. Take it off there first.")
            % {"tag": blanket, "horse": worn.horse, "who": worn.on_by, "time": _clock(worn.since)}
        )


def _refuse_out_of_hand(blanket: Blanket, actor: Actor) -> None:
    known: Any = blankets.of(actor.barn).with_condition(actor.barn, actor.at).filter(pk=blanket.pk)
    found = known.values("where", "is_unsafe", "wet").get()
    sentence = str(OUT_OF_HAND.get(found["where"], ""))
    if found["is_unsafe"]:
        sentence = _("It is marked do not use.")
    elif found["wet"] != "dry":
        sentence = _("It is still wet. If it feels dry, mark it dry first.")
    if sentence:
        raise Refused(_("%(tag)s cannot be put on. %(why)s") % {"tag": blanket, "why": sentence})


OUT_OF_HAND = {
    "bagged": gettext_lazy("It is bagged for the cleaner."),
    "away": gettext_lazy("It is at the cleaner or repairer."),
    "unchecked": gettext_lazy("It is back but nobody has checked it yet."),
    "home": gettext_lazy("It is at its owner's home."),
    "lent": gettext_lazy("It is lent."),
    "lost": gettext_lazy("It is lost. If you have it in hand, mark it found first."),
    "retired": gettext_lazy("It is retired."),
}


def _place(blanket: Blanket, fate: Fate, actor: Actor) -> Placing:
    _close_placing(blanket, actor.at)
    return Placing.objects.create(
        barn=actor.barn,
        blanket=blanket,
        kind=Keeping.DRYING if fate.wet else Keeping.RACK,
        place=fate.place or ("" if fate.wet else blanket.rack),
        soaked=fate.soaked,
        since=actor.at,
    )


def _close_placing(blanket: Blanket, at: datetime) -> None:
    for placing in Placing.objects.filter(blanket=blanket, until__isnull=True):
        placing.until = max(at, placing.since)
        placing.save(update_fields=["until"])


def _clock(moment: datetime) -> str:
    return formats.date_format(timezone.localtime(moment), "j M H:i")
