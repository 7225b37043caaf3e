"""What was done without signal and contradicts what others noted: a question to the manager, with two buttons."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.barns.views.writing import perform
from inventory.domain import moves, questions, settling
from inventory.domain.events import Event, Sent
from inventory.enums import Felt, QuestionAnswer, QuestionKind
from inventory.forms.questions import AnswerForm
from inventory.forms.sending import Unreadable, read
from inventory.models import ListLine, Question, Wearing
from inventory.queries import questions as queries
from inventory.views import sent_things


@dataclass(frozen=True)
class Asked:
    """A question as it stands on the page: what was noted, in words, and the form of its two buttons."""

    question: Question
    noted: str
    accept: str
    drop: str
    form: AnswerForm
    accept_moves: str
    drop_moves: str


@dataclass(frozen=True)
class Since:
    """What is known of the horses and blankets of some questions since these were noted."""

    wearings: list[Wearing]
    lines: list[ListLine]

    @classmethod
    def of(cls, barn: Barn, questions: list[Question]) -> "Since":
        return cls(list(queries.wearings(barn, questions)), list(queries.lines(questions)))


@require_safe
def question_list(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "change", Question)
    return _page(request, _waiting(request))


@require_POST
def question_answer(request: HttpRequest, pk: int) -> HttpResponse:
    question = access.fetch(request.person, Question, pk, "change")
    form = AnswerForm(request.POST)
    moved = [_("Answered.")]

    def call(actor: Actor) -> str:
        answer = form.cleaned_data["answer"]
        moved.append(_moves(question, answer, Since.of(request.barn, [question])))
        return settled(question, answer, actor, request)

    if form.is_valid():
        done = perform(request, form, call)
        if done:
            if done.status_code == 302:
                messages.success(request, " ".join(filter(None, moved)))
            return done
    waiting = _waiting(request, form, pk)
    if pk not in {one.question.pk for one in waiting}:
        messages.error(request, " ".join(map(str, form.non_field_errors())))
    return _page(request, waiting, status=400)


def _waiting(request: HttpRequest, refused: AnswerForm | None = None, pk: int = 0) -> list[Asked]:
    questions = list(queries.waiting(request.barn))
    known = Since.of(request.barn, questions)
    return [asked(one, refused if refused and one.pk == pk else AnswerForm(), known) for one in questions]


def _moves(question: Question, answer: str, known: Since) -> str:
    try:
        event = read(question.event.get("body"))
        kind, own = event.kind, event.about.get("line")
    except Unreadable:
        kind, own = "", None
    lines = [line for line in known.lines if line.pk != own]
    return moves.of(question, QuestionAnswer(answer), kind, known.wearings, lines)


def _page(request: HttpRequest, waiting: list[Asked], status: int = 200) -> HttpResponse:
    shown = {"waiting": waiting, "answered": queries.answered(request.barn)}
    return render(request, "inventory/questions.html", shown, status=status)


def settled(question: Question, answer: str, actor: Actor, request: HttpRequest) -> str:
    if answer == QuestionAnswer.DROPPED:
        settling.drop(question, actor=actor)
    else:
        sent = None if question.kind == QuestionKind.OVERLAPS else sent_of(question)
        settling.accept(question, sent, actor=actor)
    return reverse("questions", args=[request.barn.slug])


def sent_of(question: Question) -> Sent:
    """The event as it was sent, read again; its picture from where it was kept."""
    try:
        event = read(question.event.get("body"))
        sent = sent_things.found_in_barn(
            Event(**{**vars(event), "fields": {**event.fields, "picture": ""}}), question.person
        )
    except Unreadable as unreadable:
        raise Refused(str(unreadable)) from None
    kept = questions.picture_of(question)
    return Sent(**{**vars(sent), "event": event, "picture": sent_things.shrunk(kept) if kept else None})


def asked(question: Question, form: AnswerForm, known: Since) -> Asked:
    horse = question.horse or _("the blanket")
    tags = " + ".join(question.tags) or _("nothing")
    overlaps = question.kind == QuestionKind.OVERLAPS
    return Asked(
        question,
        _noted(question, horse, tags),
        _("Both hold; %(horse)s wears %(tags)s now") % {"horse": horse, "tags": tags}
        if overlaps
        else str(QuestionAnswer.ACCEPTED.label),
        _("%(horse)s does not wear %(tags)s") % {"horse": horse, "tags": tags}
        if overlaps
        else str(QuestionAnswer.DROPPED.label),
        form,
        _moves(question, QuestionAnswer.ACCEPTED, known),
        _moves(question, QuestionAnswer.DROPPED, known),
    )


def _noted(question: Question, horse: object, tags: str) -> str:
    """What the person noted, as a short phrase."""
    try:
        event = read(question.event.get("body"))
    except Unreadable:
        return _("something for %(horse)s") % {"horse": horse}
    phrases = {
        "not_done": _("%(horse)s was left as it was"),
        "take_back": _("%(horse)s: what was noted before was a mistake"),
        "hand_check": _("%(horse)s felt %(felt)s under what it wears"),
        "damage": _("%(tags)s is damaged"),
    }
    felt = Felt(event.fields["felt"]).label if event.kind == "hand_check" else ""
    phrase = phrases.get(event.kind, _("%(horse)s wears %(tags)s"))
    return phrase % {"horse": horse, "tags": tags, "felt": felt}


@require_safe
def question_picture(request: HttpRequest, pk: int) -> HttpResponse:
    question = access.fetch(request.person, Question, pk, "change")
    try:
        kept = questions.picture_of(question)
    except FileNotFoundError:
        kept = None
    if kept is None:
        raise Http404
    return HttpResponse(kept, content_type="image/jpeg")
