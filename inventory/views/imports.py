"""Bringing a list in: send it, name its columns, look through it, confirm it, watch it come in."""

from typing import Any, Final

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.writing import perform
from horses.queries.horse import today_in
from inventory import pace
from inventory.columns import headings
from inventory.domain import import_columns as columns
from inventory.domain import imports as domain
from inventory.domain.import_check import choices_of
from inventory.enums import ImportStep, ImportWhat, LineFate
from inventory.forms.imports import ColumnsForm, ConfirmForm, SendForm, WordsForm
from inventory.models import ImportRun
from inventory.queries import imports as queries
from inventory.sheets import writing
from inventory.sheets.table import letter
from inventory.views.import_lines import PAGE, page_of_lines

SHOWN: Final = (LineFate.FAULTY, LineFate.NEW, LineFate.CHANGE, LineFate.SAME)
OUTCOMES: Final = (LineFate.REFUSED, LineFate.ADDED, LineFate.CHANGED, LineFate.SAME, LineFate.FAULTY)


@require_safe
def imports(request: HttpRequest) -> HttpResponse:
    """Lists on their way and lists that came in; templates to fill."""
    access.demand(request.person, "add", ImportRun)
    found = access.rows(request.person, ImportRun, among=queries.runs(request.barn))
    page = Paginator(found, PAGE).get_page(request.GET.get("page"))
    return render(request, "inventory/imports.html", {"page": page, "kinds": ImportWhat.choices})


@require_http_methods(["GET", "HEAD", "POST"])
def import_send(request: HttpRequest, what: str) -> HttpResponse:
    """Reads the file, stages its lines and looks through them as far as a moment allows."""
    _known(what)
    access.demand(request.person, "add", ImportRun)
    form = SendForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        done = perform(request, form, lambda actor: _begin(request, form, what, actor))
        if done:
            return _stage(request, form) if isinstance(done, HttpResponseRedirect) else done
    label = dict(ImportWhat.choices)[what]
    context = {"form": form, "what": what, "label": label, "columns": headings.COLUMNS[what]}
    return render(request, "inventory/import_send.html", context, status=400 if form.errors else 200)


def _begin(request: HttpRequest, form: SendForm, what: str, actor: Actor) -> str:
    sent = domain.Sent(form.cleaned_data["file"].name, form.sha, form.cleaned_data["once"])
    run = domain.begin(form.table, what=what, sent=sent, actor=actor)
    return _address(request, run)


def _stage(request: HttpRequest, form: SendForm) -> HttpResponse:
    """Outside the transaction of the form, by chunks; the form sent again goes on where this broke off."""
    run = ImportRun.objects.select_related("barn").get(person=request.person, once=form.cleaned_data["once"])
    domain.stage(run, form.table)
    domain.forget_old(request.barn, timezone.now())
    if _undecided(run):
        return HttpResponseRedirect(reverse("import_columns", args=[request.barn.slug, run.pk]))
    pace.go_on(run)
    return HttpResponseRedirect(_address(request, run))


@require_safe
def import_run(request: HttpRequest, pk: int) -> HttpResponse:
    """The list as far as it has come."""
    run = _fetch(request, pk, "see")
    if run.step == ImportStep.DROPPED:
        raise Http404
    if pace.is_going(run):
        return render(request, "inventory/import_progress.html", {"run": run, **_progress(run)})
    if run.step == ImportStep.STAGING:
        return render(request, "inventory/import_broken.html", {"run": run})
    if run.step == ImportStep.FINISHED:
        return _finished(request, run)
    return _preview(request, run, WordsForm(None, **_asked(run)))


def _preview(request: HttpRequest, run: ImportRun, words: WordsForm, status: int = 200) -> HttpResponse:
    counts = queries.counts(run)
    good = sum(counts[fate] for fate in queries.WAITING)
    context = {
        "run": run,
        "counts": counts,
        "good": good,
        "undecided": _undecided(run),
        "words": words,
        "questions": list(words.questions()),
        "explained": list(words.explained()),
        "confirm": ConfirmForm(initial={"good": good}),
        "before": queries.brought_in_before(run),
        **page_of_lines(request, run, SHOWN, counts),
    }
    return render(request, "inventory/import_preview.html", context, status=status)


def _finished(request: HttpRequest, run: ImportRun) -> HttpResponse:
    counts = queries.counts(run)
    context = {"run": run, "outcome": run.choices["outcome"], **page_of_lines(request, run, OUTCOMES, counts)}
    return render(request, "inventory/import_finished.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def import_columns(request: HttpRequest, pk: int) -> HttpResponse:
    """Which column is which; with another line of headings, the columns from there."""
    run = _fetch(request, pk, "change")
    form = ColumnsForm(request.POST or None, run=run, today=today_in(request.barn))
    page = _address(request, run)
    if run.step != ImportStep.ASKING:
        return HttpResponseRedirect(page)
    if request.method == "POST" and form.is_valid():
        moved = form.moves_heading
        done = perform(request, form, lambda actor: _set(request, run, form, actor))
        if done:
            if not moved and isinstance(done, HttpResponseRedirect):
                pace.go_on(_fetch(request, pk, "see"))
            return done
    status = 400 if form.errors else 200
    return render(request, "inventory/import_columns.html", {"run": run, "form": form, "page": page}, status=status)


def _set(request: HttpRequest, run: ImportRun, form: ColumnsForm, actor: Actor) -> str:
    if form.moves_heading:
        columns.set_heading(run, number=form.cleaned_data["heading"], actor=actor)
        return reverse("import_columns", args=[request.barn.slug, run.pk])
    columns.set_columns(run, fields=form.named(), choices=form.choices(), actor=actor)
    return _address(request, run)


@require_POST
def import_words(request: HttpRequest, pk: int) -> HttpResponse:
    """What words of the list mean; then all of it is looked through again."""
    run = _fetch(request, pk, "change")
    form = WordsForm(request.POST, **_asked(run))
    if form.is_valid():
        done = perform(request, form, lambda actor: _tell(request, run, form, actor))
        if done:
            if isinstance(done, HttpResponseRedirect):
                pace.go_on(_fetch(request, pk, "see"))
            return done
    return _preview(request, run, form, status=400)


def _tell(request: HttpRequest, run: ImportRun, form: WordsForm, actor: Actor) -> str:
    columns.tell_words(run, meanings=form.meanings(), actor=actor)
    return _address(request, run)


@require_POST
def import_confirm(request: HttpRequest, pk: int) -> HttpResponse:
    """From here on lines are written; a short list is done when this returns."""
    run = _fetch(request, pk, "change")
    form = ConfirmForm(request.POST)
    if form.is_valid():

        def call(actor: Actor) -> str:
            domain.confirm(run, good=form.cleaned_data["good"], actor=actor)
            return _address(request, run)

        done = perform(request, form, call)
        if done:
            if isinstance(done, HttpResponseRedirect):
                _go_on(request, run)
            return done
    for sentence in form.non_field_errors():
        messages.error(request, str(sentence))
    return HttpResponseRedirect(_address(request, run))


@require_POST
def import_go_on(request: HttpRequest, pk: int) -> HttpResponse:
    """The next chunk, asked for by the page itself, or as many as a moment allows. Sent again it only goes on."""
    run = _fetch(request, pk, "change")
    if not request.htmx:
        _go_on(request, run)
        return HttpResponseRedirect(_address(request, run))
    refused = ""
    try:
        run = pace.go_on(run, pace.STEP)
    except Refused as fault:
        refused = fault.sentence
    if refused or pace.is_going(run):
        return render(request, "inventory/_import_progress.html", {"run": run, "refused": refused, **_progress(run)})
    return HttpResponse(status=204, headers={"HX-Redirect": _address(request, run)})


def _go_on(request: HttpRequest, run: ImportRun) -> None:
    try:
        pace.go_on(ImportRun.objects.select_related("barn").get(pk=run.pk))
    except Refused as refused:
        messages.error(request, refused.sentence)


@require_POST
def import_drop(request: HttpRequest, pk: int) -> HttpResponse:
    """The list is not wanted; nothing of it was written."""
    run = _fetch(request, pk, "change")
    form = ConfirmForm({"once": request.POST.get("once"), "good": 0})
    page = reverse("imports", args=[request.barn.slug])
    if form.is_valid():
        done = perform(request, form, lambda actor: (domain.drop(run, actor=actor), page)[1])
        if done:
            if isinstance(done, HttpResponseRedirect):
                domain.forget_lines(run)
                messages.success(request, _("%(file)s is dropped.") % {"file": run.file_name})
            return done
    for sentence in form.non_field_errors():
        messages.error(request, str(sentence))
    return HttpResponseRedirect(_address(request, run))


@require_safe
def import_template(request: HttpRequest, what: str, kind: str) -> HttpResponse:
    """Headings and two invented lines."""
    _known(what)
    access.demand(request.person, "add", ImportRun)
    if kind not in writing.CONTENT_TYPES:
        raise Http404
    known = headings.COLUMNS[what]
    rows = [[str(column.label) for column in known]]
    rows += [[column.examples[number] for column in known] for number in range(2)]
    label = str(dict(ImportWhat.choices)[what])
    content = writing.write(kind, label, rows)
    return download(content, kind, _("%(what)s template") % {"what": label})


def download(content: bytes, kind: str, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=writing.CONTENT_TYPES[kind])
    plain = "".join(letter if letter.isascii() and letter.isalnum() else "-" for letter in name.lower())
    response["Content-Disposition"] = f'attachment; filename="{plain}.{kind}"'
    response["X-Content-Type-Options"] = "nosniff"
    return response


def _known(what: str) -> None:
    if what not in ImportWhat.values:
        raise Http404


def _fetch(request: HttpRequest, pk: int, action: str) -> ImportRun:
    return access.fetch(request.person, ImportRun, pk, action, among=ImportRun.objects.select_related("barn", "person"))


def _address(request: HttpRequest, run: ImportRun) -> str:
    return reverse("import_run", args=[request.barn.slug, run.pk])


def _undecided(run: ImportRun) -> list[str]:
    return [told["heading"] or letter(told["place"]) for told in run.columns if told["field"] is None]


def _asked(run: ImportRun) -> dict[str, Any]:
    reading = queries.reading(run.barn, run.what, choices_of(run))
    asked = queries.asked_words(run)
    explained = [pair for pair in reading.words if pair not in asked]
    return {"run": run, "asked": asked + explained[: queries.MOST_ASKED], "reading": reading}


def _progress(run: ImportRun) -> dict[str, Any]:
    """How many of how many, and what is being done."""
    if run.step == ImportStep.WRITING:
        counts = queries.counts(run)
        done = sum(counts[fate] for fate in queries.DONE)
        total = done + sum(counts[fate] for fate in queries.WAITING)
    else:
        total = run.line_count
        done = queries.lines(run).filter(number__lte=run.checked_to).count()
    return {
        "done": done,
        "total": total,
        "percent": 100 * done // total if total else 100,
        "said": ngettext("%(done)s of %(total)s line", "%(done)s of %(total)s lines", total)
        % {"done": f"{done:,}", "total": f"{total:,}"},
    }
