"""The journal as sentences: of the barn, a blanket, a horse or a person; what money it names depends on who reads."""

from dataclasses import dataclass
from typing import Any

from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from barnrugs.barns.models import JournalEntry, Person
from barnrugs.barns.queries import journal
from barnrugs.barns.queries.journal import Sentence
from horses.models import Horse
from inventory.forms.journal_pages import JournalForm
from inventory.models import Blanket
from inventory.queries import journal_pages as queries
from inventory.sheets import writing

A_PAGE = 50
IN_A_FILE = 20_000


@dataclass(frozen=True)
class Book:
    """The entries of one thing, whether this reader may see money in them, and where they stand."""

    entries: "QuerySet[JournalEntry]"
    heading: str
    money: bool
    here: str
    file: str
    names_people: bool


@require_safe
def journal_page(request: HttpRequest) -> HttpResponse:
    """Everything that was done in the barn: for managers."""
    return _page(request, _whole(request))


@require_safe
def journal_file(request: HttpRequest) -> HttpResponse:
    return _file(request, _whole(request))


def _whole(request: HttpRequest) -> Book:
    access.demand(request.person, "see", JournalEntry)
    slug = request.barn.slug
    return Book(
        queries.of_barn(request.barn),
        _("Journal of the barn"),
        money=True,
        here=reverse("journal", args=[slug]),
        file=reverse("journal_file", args=[slug]),
        names_people=True,
    )


@require_safe
def journal_of(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    return _page(request, _book(request, kind, pk))


@require_safe
def journal_of_file(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    return _file(request, _book(request, kind, pk))


def _book(request: HttpRequest, kind: str, pk: int) -> Book:
    of = {"blanket": _of_blanket, "horse": _of_horse, "person": _of_person}.get(kind)
    if of is None:
        raise Http404
    entries, name, money = of(request, pk)
    return Book(
        entries.filter(barn=request.barn),
        _("Journal of %(name)s") % {"name": name},
        money=money,
        here=reverse("journal_of", args=[request.barn.slug, kind, pk]),
        file=reverse("journal_of_file", args=[request.barn.slug, kind, pk]),
        names_people=kind != "person" and request.person.is_manager,
    )


Found = tuple["QuerySet[JournalEntry]", str, bool]


def _of_blanket(request: HttpRequest, pk: int) -> Found:
    blanket = access.fetch(request.person, Blanket, pk)
    return journal.about(blanket), blanket.tag, access.may(request.person, "see_money", blanket)


def _of_horse(request: HttpRequest, pk: int) -> Found:
    horse = access.fetch(request.person, Horse, pk)
    return journal.about(horse), horse.name, request.person.is_manager


def _of_person(request: HttpRequest, pk: int) -> Found:
    """Everybody reads their own; what somebody else did, managers alone."""
    person = access.fetch(request.person, Person, pk)
    if person.pk != request.person.pk and not request.person.is_manager:
        raise Http404
    return queries.by_or_about(person), person.name, request.person.is_manager


def _page(request: HttpRequest, book: Book) -> HttpResponse:
    form = JournalForm(request.GET, barn=request.barn, names_people=book.names_people)
    found = queries.narrowed(book.entries, form.asked(), request.barn)
    page: Any = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    page.object_list = journal.sentences(page.object_list, request.person, sees_money=book.money)
    query = request.GET.copy()
    query.pop("page", None)
    return render(
        request,
        "inventory/journal.html",
        {"form": form, "page": page, "book": book, "query": query.urlencode(), "sentences": page.object_list},
    )


def _file(request: HttpRequest, book: Book) -> HttpResponse:
    form = JournalForm(request.GET, barn=request.barn, names_people=book.names_people)
    found = queries.narrowed(book.entries, form.asked(), request.barn)[:IN_A_FILE]
    said = journal.sentences(found, request.person, sees_money=book.money)
    table = [[_("When"), _("Written down"), _("Who"), _("What"), _("Why"), _("Device")]]
    table += [_row(request, sentence) for sentence in said]
    answer = HttpResponse(writing.write("csv", "", table), content_type=writing.CONTENT_TYPES["csv"])
    answer["Content-Disposition"] = 'attachment; filename="journal.csv"'
    return answer


def _row(request: HttpRequest, sentence: Sentence) -> list[str]:
    def local(moment: Any) -> str:
        return f"{timezone.localtime(moment, request.barn.zone):%Y-%m-%d %H:%M}"

    return [
        local(sentence.at),
        local(sentence.entry.here_at),
        sentence.who,
        sentence.text,
        sentence.why,
        sentence.device,
    ]
