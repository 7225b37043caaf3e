"""What a staff phone keeps for where there is no signal: which pages, in order of need, each with its stamp."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.models import Barn, JournalEntry
from barnrugs.barns.offline import keeps_pages
from inventory.domain import lists as domain
from inventory.domain import sessions
from inventory.forms.lists import NotDoneForm, OtherForm
from inventory.models import Blanket, ChangeList, ListLine, Picture
from inventory.queries import drying, wearings
from inventory.queries import lists as queries

WHOLE_LISTS = 2
"""Of so many lists, beginning with the one at hand, each horse's own page is kept too."""

STALE_AFTER_H = 3


@require_safe
def kept(request: HttpRequest) -> HttpResponse:
    """A page is fetched again when its stamp changed. Nothing here names money; managers' pages are not kept."""
    refuse_others(request)
    barn, now = request.barn, timezone.now()
    made = list(coming(barn, now))
    lines = [list(queries.to_do(queries.lines(one))) for one in made]
    whole = lines[:WHOLE_LISTS]
    homes = {line.horse_id: _path(barn, "line", line.pk) for several in reversed(whole) for line in several}
    worn = {one.blanket_id: one.horse_id for one in wearings.open_in(barn)}
    usual = Blanket.objects.filter(barn=barn, usual_horse__in=homes).values_list("pk", "usual_horse_id")
    of_horse = {**dict(usual), **worn}
    return JsonResponse(
        {
            "at": now,
            "person": str(request.person.key),
            "lists": [{"path": list_path(barn, one), "due_at": one.due_at} for one in made],
            "horses": homes,
            "blankets": {pk: homes[horse] for pk, horse in of_horse.items() if horse in homes},
            "names": {line.pk: line.horse.name for several in lines for line in several},
            "pages": dict(pages(barn, made, whole, now)) | pictures(barn, of_horse),
        }
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


def pages(barn: Barn, made: list[ChangeList], whole: list[list[ListLine]], now: datetime) -> Iterator[tuple[str, str]]:
    """Address and stamp, the most needed first."""
    latest = JournalEntry.objects.filter(barn=barn).order_by("-pk").values_list("pk", flat=True).first()
    hour = f"{now:%Y%m%d}{now.hour // STALE_AFTER_H}"
    for one in made:
        yield list_path(barn, one), f"{latest}-{one.made_at.timestamp()}-{hour}"
    for name in ("kept_not_done", "kept_other"):
        yield _path(barn, name), hour
    for number, several in enumerate(whole):
        for line in several:
            stamp = _stamp(line, hour)
            yield _path(barn, "line", line.pk), stamp
            if number == 0:
                yield _path(barn, "line_other", line.pk), stamp
                yield _path(barn, "hand_check", line.horse_id), stamp
                yield _path(barn, "horse_damage", line.horse_id), stamp


def _stamp(line: ListLine, hour: str) -> str:
    said = (*line.tags_from, "to", *line.tags_to, line.outcome, *line.tags_done)
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
    refuse_others(request)
    form = OtherForm(None, person=request.person, offered=[("|", _("Nothing on"))])
    offered = [{"value": "|", "label": _("Nothing on")}]
    more = {"offered": offered, "drying_places": drying.places(request.barn, timezone.now())}
    return _stand_in(request, form, _("Something else"), "inventory/kept_other.html", _("Done so"), **more)


def _stand_in(request: HttpRequest, form: Any, heading: str, template: str, submit: str, **more: Any) -> HttpResponse:
    shown = {
        "form": form,
        "heading": heading,
        "submit": submit,
        "back": reverse("due", args=[request.barn.slug]),
        **more,
    }
    return render(request, template, shown)
