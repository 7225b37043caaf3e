"""What a staff phone keeps for where there is no signal: which pages, in order of need, each with its stamp."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from functools import partial
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.models import Barn, JournalEntry, Person
from barnrugs.barns.offline import keeps_pages
from barnrugs.barns.views.worker import version
from inventory import particulars
from inventory.domain import due, sessions, whereabouts
from inventory.domain import lists as domain
from inventory.enums import Wet
from inventory.forms.damage import DamageForm
from inventory.forms.hand_checks import FELT, HandCheckForm
from inventory.forms.lists import NotDoneForm, OtherForm
from inventory.models import Blanket, ChangeList, ListLine, Picture
from inventory.queries import blankets as blanket_queries
from inventory.queries import drying
from inventory.queries import lists as queries
from inventory.views import list_rows
from inventory.views.answers import words_of

WHOLE_LISTS = 2
"""Of so many lists, beginning with the one at hand, each horse's own page is kept too."""

STALE_AFTER_H = 3

STAND_INS = ("kept_no_signal", "kept_hand_check", "kept_other", "kept_not_done", "tag", "kept_blanket", "kept_damage")
"""Pages that the phone shows for any line, horse or blanket, or for what it does not keep, and where a tag is typed."""


@require_safe
def kept(request: HttpRequest) -> HttpResponse:
    """A page is fetched again when its stamp changed. Nothing here names money; managers' pages are not kept.

    Who keeps none is answered with nothing: a page of somebody else may still be open where they signed in.
    """
    if not keeps_pages(request.person):
        return HttpResponse(status=204)
    barn, now = request.barn, timezone.now()
    made = list(coming(barn, now))
    lines = [list(queries.to_do(queries.lines(one))) for one in made]
    whole = lines[:WHOLE_LISTS]
    homes = {line.horse_id: _path(barn, "line", line.pk) for several in reversed(whole) for line in several}
    known = list(blankets(request.person, now))
    soaked = soaked_on(known)
    return JsonResponse(
        {
            "at": now,
            "barn": barn.pk,
            "person": str(request.person.key),
            "lists": [{"path": list_path(barn, one), "due_at": one.due_at} for one in made],
            "horses": homes,
            "blankets": {one.pk: said_of(one, homes) for one in known},
            "hands": dict(said_of_horses(lines, known)),
            "tags": {one.tag: one.pk for one in known},
            "lines": {
                line.pk: {
                    "horse": line.horse.name,
                    "list": list_path(barn, one),
                    "soaked": " ".join(soaked.get(line.horse_id, ())),
                }
                for one, several in zip(made, lines, strict=True)
                for line in several
            },
            "pages": dict(pages(barn, made, lines, soaked, now))
            | pictures(barn, [one.pk for one in known if near(one, homes)]),
        }
    )


def blankets(person: Person, now: datetime) -> Any:
    """What somebody may find by its tag; what was retired is in nobody's way."""
    found = blanket_queries.of(person.barn).with_condition(person.barn, now).not_retired()
    return access.rows(person, Blanket, "see", among=found)


def near(blanket: Any, homes: Mapping[int, str]) -> int | None:
    """The horse of the coming lists that wears it, or else whose it usually is."""
    return next((horse for horse in (blanket.horse_now_id, blanket.usual_horse_id) if horse in homes), None)


def said_of(blanket: Any, homes: Mapping[int, str]) -> dict[str, Any]:
    """What the phone knows of a blanket without signal, in words."""
    verdict, outside = particulars.outside_now(blanket)
    horse = near(blanket, homes)
    return {
        "tag": blanket.tag,
        "words": words_of(blanket),
        "where": capfirst(whereabouts.phrase(blanket)),
        "verdict": verdict,
        "outside": outside,
        "home": homes[horse] if horse else "",
    }


def soaked_on(known: Iterable[Any]) -> Mapping[int, list[str]]:
    """Of each horse, what it wears soaked: a page of its line is another one then, and asks where that will hang."""
    found: dict[int, list[str]] = defaultdict(list)
    for one in known:
        if one.wet == Wet.SOAKED:
            found[one.horse_now_id].append(one.tag)
    return found


def said_of_horses(lines: list[list[ListLine]], known: list[Any]) -> Iterator[tuple[int, dict[str, str]]]:
    """What a hand check needs to know of each horse of the day, where its own page is not kept yet."""
    worn: dict[int, list[str]] = defaultdict(list)
    for one in known:
        worn[one.horse_now_id].append(one.tag)
    for horse in {line.horse_id: line.horse for several in lines for line in several}.values():
        handle = [_("Needs two people.")] if horse.two_people else []
        yield (
            horse.pk,
            {
                "horse": horse.name,
                "on": f"{_('On now:')} {' + '.join(worn[horse.pk]) or _('nothing')}.",
                "handle": " ".join([*handle, *filter(None, [horse.handling_note])]),
            },
        )


def refuse_others(request: HttpRequest) -> None:
    if not keeps_pages(request.person):
        raise Http404


def coming(barn: Barn, now: datetime) -> Iterator[ChangeList]:
    """The lists of the coming 24 hours, made if nobody made them; those without weather are left out."""
    for slot in sessions.coming(barn, now):
        try:
            yield domain.ensure(barn, slot, at=now)
        except Refused:
            continue


def pages(
    barn: Barn, made: list[ChangeList], lines: list[list[ListLine]], soaked: Mapping[int, Sequence[str]], now: datetime
) -> Iterator[tuple[str, str]]:
    """Address and stamp, the most needed first: the list at hand with what can be done from it, then the others."""
    hour = f"{now:%Y%m%d}{now.hour // STALE_AFTER_H}-{get_language()}-{version()}"
    latest = JournalEntry.objects.filter(barn=barn).order_by("-pk").values_list("pk", flat=True).first()
    stamp = partial(_stamp, soaked=soaked, hour=hour)
    stamps = [f"{latest}-{one.made_at.timestamp()}-{hour}" for one in made]
    lists = [(list_path(barn, one), stamp) for one, stamp in zip(made, stamps, strict=True)]
    places = list(of_places(barn, zip(made, lines[:WHOLE_LISTS], stamps, strict=False), now))
    yield from lists[:1]
    for name in STAND_INS:
        yield _path(barn, name), hour
    yield from of_horses(barn, lines[:1], stamp)
    yield from of_lines(barn, lines[:1], stamp)
    yield from (place for place in places if place[0].startswith(lists[0][0]))
    yield from lists
    yield from of_lines(barn, lines[:WHOLE_LISTS], stamp)
    yield from of_horses(barn, lines, stamp)
    yield from places


def of_lines(barn: Barn, lines: list[list[ListLine]], stamp: Callable[[ListLine], str]) -> Iterator[tuple[str, str]]:
    for number, several in enumerate(lines):
        for line in several:
            yield _path(barn, "line", line.pk), stamp(line)
            if number == 0:
                yield _path(barn, "line_other", line.pk), stamp(line)


def of_horses(barn: Barn, lines: list[list[ListLine]], stamp: Callable[[ListLine], str]) -> Iterator[tuple[str, str]]:
    """Of every horse of the day; its line of the list next to come tells what it wears."""
    known = {line.horse_id: line for several in reversed(lines) for line in several}
    for name in ("hand_check", "horse_damage"):
        for horse, line in known.items():
            yield _path(barn, name, horse), stamp(line)


def of_places(
    barn: Barn, lists: Iterable[tuple[ChangeList, list[ListLine], str]], now: datetime
) -> Iterator[tuple[str, str]]:
    """All done in one place, for each place of a list."""
    known = list(lists)
    stays = list_rows.stays_of(barn, {line.horse_id for _one, several, _stamp in known for line in several}, now)
    for one, several, stamp in known:
        for place in due.places(several, stays):
            yield _path(barn, "list_here", one.day.isoformat(), one.session, place.key), stamp


def _stamp(line: ListLine, *, soaked: Mapping[int, Sequence[str]], hour: str) -> str:
    wet = soaked.get(line.horse_id, ())
    said = (*line.tags_from, "to", *line.tags_to, line.outcome, *line.tags_done, "soaked", *wet)
    return f"{'.'.join(said)}-{hour}"


def pictures(barn: Barn, blankets: Iterable[int]) -> dict[str, str]:
    found = Picture.objects.filter(barn=barn, blanket__in=list(blankets), removed_at=None).order_by("at", "pk")
    latest = dict(found.values_list("blanket_id", "pk"))
    return {_path(barn, "picture_small", pk): str(pk) for pk in latest.values()}


def list_path(barn: Barn, made: ChangeList) -> str:
    return _path(barn, "change_list", made.day.isoformat(), made.session)


def _path(barn: Barn, name: str, *parts: Any) -> str:
    return reverse(name, args=[barn.slug, *parts])


@require_safe
def kept_not_done(request: HttpRequest) -> HttpResponse:
    """Stands in for any line's page without signal; the phone puts the horse's name in."""
    refuse_others(request)
    return _stand_in(request, NotDoneForm(), _("Not done"), "inventory/line_not_done.html", _("Not done"))


@require_safe
def kept_other(request: HttpRequest) -> HttpResponse:
    """Any horse's page of something else without signal."""
    refuse_others(request)
    form = OtherForm(None, person=request.person, offered=[("|", _("Nothing on"))])
    offered = [{"value": "|", "label": _("Nothing on")}]
    more = {"offered": offered, "drying_places": drying.places(request.barn, timezone.now())}
    return _stand_in(request, form, _("Something else"), "inventory/kept_other.html", _("Done so"), **more)


@require_safe
def kept_hand_check(request: HttpRequest) -> HttpResponse:
    """Any horse's hand check without signal; the phone puts in what it knows of the horse."""
    refuse_others(request)
    felt = [(felt.value, word) for felt, word in FELT.items()]
    return _stand_in(request, HandCheckForm(), _("Hand check"), "inventory/kept_hand_check.html", "", felt=felt)


@require_safe
def kept_blanket(request: HttpRequest) -> HttpResponse:
    """Any blanket's page without signal; the phone puts in what it knows of it."""
    refuse_others(request)
    return render(request, "inventory/kept_blanket.html")


@require_safe
def kept_no_signal(request: HttpRequest) -> HttpResponse:
    """What stands in for a page that is not kept, in the language of whoever is at the phone."""
    refuse_others(request)
    return render(request, "barns/no_signal.html")


@require_safe
def kept_damage(request: HttpRequest) -> HttpResponse:
    """Any blanket's report of damage without signal."""
    refuse_others(request)
    return _stand_in(request, DamageForm(), _("Report damage"), "inventory/damage.html", "")


def _stand_in(request: HttpRequest, form: Any, heading: str, template: str, submit: str, **more: Any) -> HttpResponse:
    shown = {
        "form": form,
        "heading": heading,
        "submit": submit,
        "back": reverse("due", args=[request.barn.slug]),
        **more,
    }
    return render(request, template, shown)
