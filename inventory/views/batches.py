"""Batches: the list of them, one to print and check in, making one, and both lists as a file."""

import uuid
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import formats, timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.pages import BOTH, Page, form_page
from barnrugs.barns.views.writing import perform
from inventory import particulars
from inventory.domain import batches as domain
from inventory.domain import check_back
from inventory.domain.care import Details
from inventory.enums import CareKind, CareStep, CheckOutcome
from inventory.forms.batches import BatchForm, CheckBackForm, HandOverForm, LineForm
from inventory.models import Batch, BatchLine, CareJob
from inventory.queries import batches as queries
from inventory.sheets import writing

SHOWN = 60


@require_safe
def batches(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "see", Batch)
    found = access.rows(request.person, Batch, among=queries.of(request.barn).counted())[:SHOWN]
    unlisted = queries.unlisted(request.barn).values_list("blanket", "step")
    return render(
        request,
        "inventory/batches.html",
        {
            "batches": found,
            "can_go": queries.can_go(request.barn).count(),
            "unlisted": len({blanket for blanket, _step in unlisted}),
            "unlisted_at": [step for step in CareStep if step in {at for _blanket, at in unlisted}],
        },
    )


@require_http_methods(BOTH)
def batch_new(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "add", Batch)
    form = BatchForm(request.POST or None, among=access.rows(request.person, CareJob, "change"))
    page = Page(
        heading=_("A new batch"),
        submit=_("Make the list"),
        back=reverse("batches", args=[request.barn.slug]),
        template="inventory/batch_new.html",
        more={"jobs": list(queries.can_go(request.barn)), "ticked": set(request.POST.getlist("jobs"))},
    )

    def call(actor: Actor) -> Batch:
        said = form.cleaned_data
        return domain.make(
            list(said["jobs"]), to_whom=said["to_whom"], due_on=said["due_on"], note=said["note"], actor=actor
        )

    return form_page(request, form, page, call, then=lambda batch: _address(request, batch))


def _address(request: HttpRequest, batch: Batch) -> str:
    return reverse("batch", args=[request.barn.slug, batch.pk])


@require_safe
def batch(request: HttpRequest, pk: int) -> HttpResponse:
    among = queries.of(request.barn).select_related("made_by", "handed_by")
    found = access.fetch(request.person, Batch, pk, among=among)
    return _page(request, found, HandOverForm(initial={"due_on": found.due_on}))


def _page(request: HttpRequest, found: Batch, form: OnceForm, line: int = 0) -> HttpResponse:
    """The batch with a refused form, if any: that of a line, or the one that hands it over."""
    lines = list(queries.lines(found))
    still_open = [one for one in lines if one.outcome in {"", CheckOutcome.MISSING}]
    for one in lines:
        _dress(one, form if one.pk == line else None)
    return render(
        request,
        "inventory/batch.html",
        {
            "batch": found,
            "lines": lines,
            "open": still_open,
            "closed": [one for one in lines if one not in still_open and (one.may_go_back or one.pk == line)],
            "checked": len(lines) - len(still_open),
            "cost": sum((one.cost for one in lines if one.cost is not None), Decimal(0)),
            "form": form,
            "hand_over": form if isinstance(form, HandOverForm) else HandOverForm(initial={"due_on": found.due_on}),
            "refused_line": line,
            "whom_to_ask": queries.managers(found.barn_id),
            "printed_at": timezone.now(),
        },
    )


def _dress(line: Any, refused: OnceForm | None) -> None:
    """A line with what its page shows besides: its size in words, and a form of its own with what can be said."""
    line.once = uuid.uuid4()
    line.size = particulars.size(line.job.blanket)
    form = refused if isinstance(refused, LineForm) else LineForm()
    form.auto_id = f"%s_{line.pk}"
    left_out = {"once", "outcome"}
    if line.job.kind == CareKind.REPAIR:
        left_out.add("part")
    if line.job.limit is None:
        left_out.add("approved_by")
    line.fields = [field for field in form if field.name not in left_out]


@require_POST
def batch_hand_over(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, Batch, pk, "change")
    form = HandOverForm(request.POST)

    def call(actor: Actor) -> str:
        domain.hand_over(found, due_on=form.cleaned_data["due_on"], actor=actor)
        return _address(request, found)

    return (perform(request, form, call) if form.is_valid() else None) or _page(request, found, form)


@require_POST
def batch_check(request: HttpRequest, pk: int) -> HttpResponse:
    """Checks one line in. The rest of the list waits, for as long as it takes."""
    line, form = _line(request, pk), LineForm(request.POST)

    def call(actor: Actor) -> str:
        said = form.cleaned_data
        details = Details(**{name: said[name] for name in ("part", "cost", "approved_by", "note")})
        domain.check_line(line, outcome=CheckOutcome(said["outcome"]), details=details, actor=actor)
        return f"{_address(request, line.batch)}#lines"

    return _perform_on_line(request, line, form, call)


@require_POST
def batch_check_back(request: HttpRequest, pk: int) -> HttpResponse:
    """The check-in of a line was a mistake."""
    line, form = _line(request, pk), CheckBackForm(request.POST)

    def call(actor: Actor) -> str:
        check_back.take_back(line, turn=form.cleaned_data["turn"], actor=actor)
        return f"{_address(request, line.batch)}#line_{line.pk}"

    done = _perform_on_line(request, line, form, call)
    if done.status_code == 302:
        messages.success(request, _("Taken back. Both stand in the log."))
    return done


def _line(request: HttpRequest, pk: int) -> BatchLine:
    among = BatchLine.objects.select_related("batch", "job__blanket")
    return access.fetch(request.person, BatchLine, pk, "change", among=among)


def _perform_on_line(
    request: HttpRequest, line: BatchLine, form: OnceForm, call: Callable[[Actor], str]
) -> HttpResponse:
    done = perform(request, form, call) if form.is_valid() else None
    return done or _page(request, line.batch, form, line=line.pk)


@require_safe
def batch_file(request: HttpRequest, pk: int, what: str) -> HttpResponse:
    """The list as it was handed over, or what came back against it."""
    found = access.fetch(request.person, Batch, pk)
    if what not in {"list", "check-in"}:
        raise Http404
    table = rows(list(queries.lines(found)), checked=what == "check-in")
    answer = HttpResponse(writing.write("csv", str(found), table), content_type=writing.CONTENT_TYPES["csv"])
    answer["Content-Disposition"] = f'attachment; filename="batch-{found.number}-{what}.csv"'
    return answer


def rows(lines: list[BatchLine], *, checked: bool) -> list[list[str]]:
    heading = [_("Tag"), _("Kind"), _("Owner"), _("Horse"), _("Work asked"), _("Ask above")]
    if checked:
        heading += [_("Outcome"), _("Cost"), _("Note"), _("Checked by"), _("Checked at")]
    return [heading, *(_row(line, checked) for line in lines)]


def _row(line: BatchLine, checked: bool) -> list[str]:
    blanket = line.job.blanket
    cells: list[Any] = [
        blanket.tag,
        blanket.get_kind_display(),
        blanket.owner or _("barn's own"),
        blanket.usual_horse or "",
        line.asked,
        "" if line.limit is None else line.limit,
    ]
    if checked:
        at = formats.date_format(timezone.localtime(line.checked_at), "Y-m-d H:i") if line.checked_at else ""
        cost = "" if line.cost is None else line.cost
        cells += [line.get_outcome_display(), cost, line.note, line.checked_by or "", at]
    return [str(cell) for cell in cells]
