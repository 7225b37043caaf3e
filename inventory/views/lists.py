"""One staffed time's list: shown, printed, advised anew; its lines done, done otherwise, left, taken back."""

import uuid
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from barnrugs.barns.views.writing import perform
from barnrugs.matching import MODEL
from barnrugs.weather.queries import source_of
from horses.models import PaddockStay
from inventory.domain import due as domain_due
from inventory.domain import lists as domain
from inventory.domain import sessions, since, wearing
from inventory.domain.advice import Weather
from inventory.domain.sessions import Slot
from inventory.domain.since import Changed
from inventory.enums import LineOutcome
from inventory.forms.lists import CameOffForm, DoneForm, HereForm, ListWeatherForm, NotDoneForm, NoteForm, OtherForm
from inventory.models import ChangeList, ListLine, Wearing
from inventory.queries import damage as alarms
from inventory.queries import drying, wearings
from inventory.queries import lists as queries
from inventory.views import line_facts, list_rows
from inventory.views.tonight import summary, unknown_but_rain

DONE = frozenset({LineOutcome.DONE, LineOutcome.OTHER})


@dataclass(frozen=True)
class Tab:
    """A staffed time to turn to."""

    slot: Slot
    current: bool
    at_hand: bool
    today: bool


@require_safe
def change_list(request: HttpRequest, day: str, session: str) -> HttpResponse:
    return show(request, _slot(request, day, session))


def show(request: HttpRequest, slot: Slot, roles: Sequence[str] = ()) -> HttpResponse:
    """The list of a staffed time, made if nobody made it yet; without weather, the question for it."""
    now = timezone.now()
    context = {"slot": slot, "tabs": _tabs(request.barn, slot, now), "roles": roles}
    try:
        made = domain.ensure(request.barn, slot, at=now)
    except Refused as refused:
        form = ListWeatherForm(None, barn=request.barn, has_file=False)
        asked = {
            "gap": refused.sentence,
            "form": form,
            "may": access.may_any(request.person, "change", ChangeList),
            "must_come_off": _must_come_off(request),
        }
        return render(request, "inventory/due.html", {**context, **asked})
    return render(request, "inventory/due.html", {**context, **_list(request, made, now)})


def _must_come_off(request: HttpRequest, said_by: Iterable[ListLine] = ()) -> QuerySet[Wearing]:
    """What a horse may not have on, whatever the weather; without the horses whose line says so itself."""
    found = alarms.must_come_off(request.barn).exclude(horse__in={line.horse_id for line in said_by})
    return access.rows(request.person, Wearing, among=found)


def _list(request: HttpRequest, made: ChangeList, now: datetime) -> dict[str, Any]:
    """Everything a page of one list shows."""
    barn: Barn = request.barn
    lines = list(access.rows(request.person, ListLine, among=queries.to_do(queries.lines(made))))
    for line in lines:
        line.change_list, line.barn = made, barn
    around = list_rows.read(request.person, lines, now)
    weather = Weather(domain.hours_of(made), made.weather.get("source", ""))
    notes = access.may_any(request.person, "see", ChangeList)
    rows = list_rows.rows(lines, around)
    return {
        "made": made,
        "rows": rows,
        "ahead": list_rows.ahead_of(made.due_at, barn, now),
        "since": _since(made, lines, rows),
        "soaked": [row for row in rows if row.soaked],
        "must_come_off": _must_come_off(request, lines),
        "once": uuid.uuid4(),
        "done": sum(line.outcome in DONE for line in lines),
        "left": sum(line.outcome == LineOutcome.NOT_DONE for line in lines),
        "unmarked": sum(not line.outcome for line in lines),
        "places": _places(lines, around.stays),
        "summary": summary(weather, barn) if weather.hours else "",
        "by_hand": weather.source == domain.BY_HAND,
        "unknown": unknown_but_rain(made.weather.get("unknown", ()), len(weather.hours)),
        "note": made.note if notes else "",
        "before": queries.note_before(made) if notes else None,
        "may": access.may_any(request.person, "change", ListLine),
        "model": MODEL,
    }


def _since(made: ChangeList, lines: Sequence[ListLine], rows: Sequence[list_rows.Row]) -> list[str]:
    """What changed since the list was made, in words; what stands on a line as changed is a horse or a blanket."""
    changed = set(since.changed_since(made.barn, lines).get(made.pk, ()))
    changed |= {Changed.BLANKET for row in rows if row.blocked}
    changed |= {Changed.HORSE for row in rows if row.changed and not row.blocked}
    return [str(kind.label) for kind in Changed if kind in changed]


def _places(lines: list[ListLine], stays: Mapping[int, PaddockStay]) -> list[tuple[domain_due.Place, int]]:
    return [(place, len(found)) for place, found in domain_due.places(lines, stays).items()]


def _tabs(barn: Barn, slot: Slot, now: datetime) -> list[Tab]:
    coming = sessions.coming(barn, now)
    today = timezone.localtime(now, barn.zone).date()
    return [Tab(one, current=one == slot, at_hand=one == coming[0], today=one.day == today) for one in coming]


def _slot(request: HttpRequest, day: str, session: str) -> Slot:
    slot = domain_due.slot_named(request.barn, day, session, timezone.now())
    if slot is None:
        raise Http404
    return slot


def _made(request: HttpRequest, day: str, session: str) -> ChangeList:
    """The list of an address that somebody may change."""
    access.demand(request.person, "change", ChangeList)
    found = queries.of(request.barn).filter(session=session).filter(day=_slot(request, day, session).day).first()
    if found is None:
        raise Http404
    return found


def address(made: ChangeList | Slot, barn: Barn, name: str = "change_list", *more: str) -> str:
    return reverse(name, args=[barn.slug, made.day.isoformat(), made.session, *more])


def line_address(line: ListLine) -> str:
    return f"{address(line.change_list, line.barn)}#line-{line.pk}"


@require_safe
def list_paper(request: HttpRequest, day: str, session: str) -> HttpResponse:
    """The list as a table to be printed, one horse a row, with room for what was done."""
    slot, now = _slot(request, day, session), timezone.now()
    made = queries.of(request.barn).filter(day=slot.day, session=slot.session).first()
    if made is None:
        raise Http404
    return render(request, "inventory/list_paper.html", {"slot": slot, "now": now, **_list(request, made, now)})


@require_http_methods(BOTH)
def list_anew(request: HttpRequest, day: str, session: str) -> HttpResponse:
    """What is open is advised again, from the weather file or from conditions entered by hand."""
    access.demand(request.person, "change", ChangeList)
    slot = _slot(request, day, session)
    made_by_hand = queries.of(request.barn).filter(day=slot.day, session=slot.session, weather__source=domain.BY_HAND)
    has_file = source_of(request.barn) is not None
    form = ListWeatherForm(
        sent(request), barn=request.barn, has_file=has_file, has_hours=has_file or made_by_hand.exists()
    )
    page = Page(
        heading=_("Advise open lines again"),
        intro=_("What is done stays as it is. The weather below counts until what is put on comes off again."),
        submit=_("Advise again"),
        back=address(slot, request.barn),
        said=_("What is open was advised again."),
        template="inventory/list_anew.html",
    )

    def call(actor: Actor, prepared: domain.Prepared | None = None) -> Any:
        conditions = form.conditions
        if conditions:
            return domain.enter_conditions(request.barn, slot, conditions=conditions, actor=actor, prepared=prepared)
        made = queries.of(request.barn).filter(day=slot.day, session=slot.session).first()
        if made:
            return domain.make_anew(made, actor=actor, at=actor.at, prepared=prepared)
        return domain.ensure(request.barn, slot, at=actor.at, prepared=prepared)

    for _try in range(TRIES if request.method == "POST" and form.is_valid() else 0):
        try:
            prepared = domain.prepare(request.barn, slot, at=timezone.now(), conditions=form.conditions)
            return form_page(request, form, page, partial(call, prepared=prepared))
        except domain.Moved:
            continue
        except Refused as refused:
            form.add_error(None, refused.sentence)
            break
    return form_page(request, form, page, call)


TRIES = 3
"""So often a list is computed beside the others' writing; after that they wait for it."""


@require_http_methods(BOTH)
def list_here(request: HttpRequest, day: str, session: str, place: str) -> HttpResponse:
    """All done in one place, except the horses ticked."""
    made = _made(request, day, session)
    now = timezone.now()
    lines = list(queries.to_do(queries.lines(made)))
    for line in lines:
        line.change_list, line.barn = made, request.barn
    around = list_rows.read(request.person, lines, now)
    known = {one.key: (one, several) for one, several in domain_due.places(lines, around.stays).items()}
    where, here = known.get(place, (None, []))
    rows = list_rows.rows(here, around)
    form = HereForm(sent(request), lines=here)
    page = Page(
        heading=_("All done here, except …"),
        submit=_("All done here"),
        back=address(made, request.barn),
        template="inventory/list_here.html",
        more={
            "rows": [row for row in rows if row.is_one_tap],
            "apart": [row for row in rows if not row.is_one_tap],
            "place": where,
            "ahead": list_rows.ahead_of(made.due_at, request.barn, now),
        },
    )

    def call(actor: Actor) -> None:
        apart = [(row.line, row.apart) for row in rows if row.apart and row.line.pk in form.shown]
        shown = {pk: said for pk, said in form.shown.items() if pk not in {line.pk for line, _why in apart}}
        _done, left = domain.mark_rest_done(made, shown=shown, actor=actor)
        left += apart
        if left and len(left) == len(form.shown):
            raise Refused(" ".join(why for _line, why in left))
        request.left = left

    answer = form_page(request, form, page, call)
    _tell_left(request)
    return answer


def _tell_left(request: HttpRequest) -> None:
    for line, why in getattr(request, "left", ()):
        messages.warning(request, _("%(horse)s is still open: %(why)s") % {"horse": line.horse, "why": why})


@require_http_methods(BOTH)
def list_note(request: HttpRequest, day: str, session: str) -> HttpResponse:
    made = _made(request, day, session)
    form = NoteForm(sent(request), initial={"note": made.note})
    page = Page(
        heading=_("Note to the next shift"),
        submit=_("Leave the note"),
        back=address(made, request.barn),
        said=_("The next shift reads it on its list."),
    )
    return form_page(
        request, form, page, lambda actor: domain.leave_note(made, note=form.cleaned_data["note"], actor=actor)
    )


LINES = ListLine.objects.select_related("change_list", "horse", "barn", "done_by")


@require_safe
def line(request: HttpRequest, pk: int) -> HttpResponse:
    """One line with everything that answers a question at the stall door."""
    found = access.fetch(request.person, ListLine, pk, among=LINES.all())
    return _line_page(request, found, CameOffForm())


def _line_page(request: HttpRequest, found: ListLine, form: OnceForm, status: int = 200) -> HttpResponse:
    now = timezone.now()
    shown = list_rows.row(found, list_rows.read(request.person, [found], now))
    may = access.may(request.person, "change", found)
    ahead = list_rows.ahead_of(found.change_list.due_at, request.barn, now) if shown.is_open else ""
    weather = Weather(domain.hours_of(found.change_list), found.change_list.weather.get("source", ""))
    context = {
        "row": shown,
        "form": form,
        "may": may,
        "ahead": ahead,
        "weather": summary(weather, request.barn) if weather.hours else "",
        **line_facts.facts(request, found, shown),
    }
    return render(request, "inventory/line.html", context, status=status)


@require_POST
def line_done(request: HttpRequest, pk: int) -> HttpResponse:
    form = DoneForm(request.POST)

    def call(found: ListLine, actor: Actor) -> ListLine:
        values = form.cleaned_data
        fate = wearing.Fate(wet=values["wet"], place=values["place"])
        domain.refuse_done_unplaced(found, place=fate.place)
        return domain.mark_done(found, actor=actor, fate=fate, shown=values["shown"])

    return _tap(request, pk, form, call)


@require_POST
def line_take_back(request: HttpRequest, pk: int) -> HttpResponse:
    return _tap(request, pk, OnceForm(request.POST), lambda found, actor: domain.take_back(found, actor=actor))


def _tap(request: HttpRequest, pk: int, form: OnceForm, call: Callable[[ListLine, Actor], ListLine]) -> HttpResponse:
    """One tap on a line: back to the list, or with htmx that one line; a refusal stands on the line."""
    found = access.fetch(request.person, ListLine, pk, "change", among=LINES.all())
    done = None
    if form.is_valid():
        done = perform(request, form, lambda actor: line_address(call(found, actor)))
    if done and (done.status_code != 302 or not request.htmx):
        return done
    found.refresh_from_db()
    if request.htmx:
        return _fragment(request, found, "" if done else _sentences(form))
    return _line_page(request, found, form)


def _sentences(form: OnceForm) -> str:
    return " ".join(str(error) for errors in form.errors.values() for error in errors)


def line_as_it_stands(request: HttpRequest, pk: int) -> str:
    return _fragment(request, LINES.get(pk=pk), "").content.decode()


def _fragment(request: HttpRequest, found: ListLine, refused: str) -> HttpResponse:
    found = LINES.get(pk=found.pk)
    around = list_rows.read(request.person, [found], timezone.now())
    progress = queries.with_progress(queries.of(request.barn).filter(pk=found.change_list_id)).get()
    return render(
        request,
        "inventory/_line_swap.html",
        {
            "row": list_rows.row(found, around, refused),
            "may": True,
            "done": progress.done_lines + progress.other_lines,
            "left": progress.left_lines,
            "unmarked": progress.open_lines,
        },
        status=422 if refused else 200,
    )


@require_http_methods(BOTH)
def line_other(request: HttpRequest, pk: int) -> HttpResponse:
    """Which instead, and why; the next best first. Whoever may do nothing else is told so, and what they may do."""
    found = access.fetch(request.person, ListLine, pk, "change", among=LINES.all())
    now = timezone.now()
    barred = "" if found.outcome else line_facts.barred(request, found)
    if barred and request.method != "POST":
        must_off = list_rows.row(found, list_rows.read(request.person, [found], now)).off_with_it
        return render(request, "inventory/line_barred.html", {"line": found, "barred": barred, "must_off": must_off})
    offered = line_facts.next_best(request.barn, found, now)
    worn = list(wearings.open_on(found.horse))
    choices = [(one.value, one.label) for one in offered]
    form = OtherForm(sent(request), person=request.person, offered=choices, horse=found.horse)
    page = Page(
        heading=_("Something else for %(horse)s") % {"horse": found.horse},
        submit=_("Done so"),
        back=line_address(found),
        template="inventory/line_other.html",
        more={
            "line": found,
            "offered": offered,
            "no_advice": line_facts.vet_advises_nothing(found.horse, request.barn, now),
            "drying_places": drying.places(request.barn, now),
            "barred": barred,
            "soaked": domain.known_soaked(worn),
            "soaked_off": domain.soaked_off(found, worn, staying=()),
        },
    )

    def call(actor: Actor) -> ListLine:
        values = form.cleaned_data
        domain.refuse_unplaced(found, staying=[one.tag for one in values["to"]], place=values["place"])
        return domain.mark_other(
            found,
            to=values["to"],
            why=values["why"],
            neck_on=values["neck"],
            fate=wearing.Fate(wet=values["wet"], place=values["place"]),
            actor=actor,
        )

    return form_page(request, form, page, call, then=line_address)


@require_http_methods(BOTH)
def line_not_done(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, ListLine, pk, "change", among=LINES.all())
    form = NotDoneForm(sent(request))
    page = Page(
        heading=_("Not done for %(horse)s") % {"horse": found.horse},
        submit=_("Not done"),
        back=line_address(found),
        template="inventory/line_not_done.html",
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.mark_not_done(found, why=form.cleaned_data["why"], actor=actor),
        then=line_address,
    )
