"""The queues of open work, one piece of work, its steps, and asking for work."""

import uuid
from typing import Any

from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from barnrugs.barns.views.writing import perform
from inventory.domain import care as domain
from inventory.domain import care_many as many
from inventory.domain import care_rules as rules_domain
from inventory.domain import care_table as table
from inventory.enums import CareDecision, CareKind, CareStep, CareWord
from inventory.forms.care import AskForm, CareRulesForm, ManyForm, StepForm
from inventory.forms.damage import DamageForm
from inventory.models import Blanket, CareJob, CareRules, Paper
from inventory.models.care import TRAVELLING
from inventory.queries import care as queries
from inventory.views import care_page, care_queue
from inventory.views.pictures import say_without_picture

USUAL_WORD = {
    CareStep.REPORTED: CareWord.DECIDE,
    CareStep.BAGGED: CareWord.HAND_OVER,
    CareStep.AWAY: CareWord.COME_BACK,
    CareStep.QUOTED: CareWord.APPROVE,
    CareStep.APPROVED: CareWord.COME_BACK,
    CareStep.DECLINED: CareWord.COME_BACK,
    CareStep.BACK: CareWord.CHECK_IN,
    CareStep.LOST: CareWord.FIND,
}

ACTIONS = {
    CareWord.FIX: "fix",
    CareWord.DECIDE: "approve",
    CareWord.APPROVE: "approve",
    CareWord.DECLINE: "approve",
}
"""What a person must be allowed for a step; for all others to change the work. Who pays decides, no more."""


@require_safe
def care(request: HttpRequest) -> HttpResponse:
    """The queues: an owner sees their own, staff all without money, a manager all."""
    return render(request, "inventory/care.html", care_queue.context(request))


@require_POST
def care_many(request: HttpRequest) -> HttpResponse:
    """One action on all ticked lines; a line that cannot follow says why and stays."""
    form = ManyForm(request.POST, person=request.person)
    refused: list[str] = []
    back = reverse("care", args=[request.barn.slug]) + care_queue.address(request.POST.get("back", ""))

    def call(actor: Actor) -> str:
        said = form.cleaned_data
        refused.extend(
            many.act(
                said["act"], jobs=list(said["jobs"]), blankets=list(said["blankets"]), limit=said["limit"], actor=actor
            )
        )
        return back

    done = perform(request, form, call) if form.is_valid() else None
    if done is None:
        for name, several in form.errors.items():
            if name != "limit":
                messages.error(request, " ".join(map(str, several)))
        if "limit" in form.errors:
            form.fields["limit"].widget.attrs["autofocus"] = True
        return render(request, "inventory/care.html", care_queue.context(request, form), status=400)
    if done.status_code == 302:
        _say(request, len(form.cleaned_data["jobs"]) + len(form.cleaned_data["blankets"]), refused)
    return done


def _say(request: HttpRequest, asked: int, refused: list[str]) -> None:
    done = asked - len(refused)
    if done:
        messages.success(request, ngettext("%(many)d line done.", "%(many)d lines done.", done) % {"many": done})
    for sentence in refused:
        messages.warning(request, sentence)


@require_safe
def care_job(request: HttpRequest, pk: int) -> HttpResponse:
    """One piece of work: what is asked, what was done and by whom, what can be done next."""
    return render(request, "inventory/care_job.html", _job_page(request, _job(request, pk)))


@require_http_methods(BOTH)
def care_step(request: HttpRequest, pk: int, word: str) -> HttpResponse:
    """One step of the work."""
    step = _word(word)
    job = _job(request, pk, ACTIONS.get(step, "change"))
    form = StepForm(request.POST or None, request.FILES or None, job=job, word=step, person=request.person)
    here = reverse("care_job", args=[request.barn.slug, job.pk])
    page = Page(
        heading=f"{step.label}: {domain.job_name(job)}",
        submit=str(step.label),
        back=here,
        said=_("Noted."),
        template="inventory/care_step.html",
        more=care_page.context(request, job)
        | {"word": step, "impossible": _impossible(job, step)}
        | _wash_first(job, step),
    )

    def call(actor: Actor) -> CareJob:
        return domain.take(job, step, actor=actor, details=form.details(), turn=form.cleaned_data["turn"])

    def then(moved: CareJob) -> str:
        say_without_picture(request, moved.picture_fault)
        return here

    return form_page(request, form, page, call, then=then)


@require_http_methods(BOTH)
def care_answer_back(request: HttpRequest, pk: int) -> HttpResponse:
    """The answer to a quote was a mistake."""
    job = _job(request, pk, "approve")
    page = Page(
        heading=_("Take back the answer to the quote: %(job)s") % {"job": domain.job_name(job)},
        submit=_("Take it back"),
        back=reverse("care_job", args=[request.barn.slug, job.pk]),
        intro=_("The quote waits for an answer again. Whoever was told the answer must be told this too."),
        said=_("Taken back. Both stand in the log."),
    )
    return form_page(request, OnceForm(sent(request)), page, lambda actor: domain.take_back_answer(job, actor=actor))


def _word(word: str) -> CareWord:
    if word not in CareWord.values or word == CareWord.REPORT:
        raise Http404
    return CareWord(word)


def _impossible(job: CareJob, word: CareWord) -> str:
    return "" if word in table.TABLE[CareStep(job.step)] else table.sentence(job.step)


def _wash_first(job: CareJob, word: CareWord) -> dict[str, Any]:
    """What a bag still needs before this work: the blanket's open wash, or that there is none to bag along."""
    if word != CareWord.BAG or job.kind == CareKind.WASH or queries.washed_since_worn(job.blanket):
        return {}
    wash = queries.on(job.blanket).open().filter(kind=CareKind.WASH).first()
    if wash is None:
        return {"asks_wash": True}
    ready = wash.step == CareStep.DECIDED and wash.decision != CareDecision.HERE and job.step == CareStep.DECIDED
    return {} if wash.step in TRAVELLING else {"wash": wash, "bags_both": ready, "once": uuid.uuid4()}


def _job(request: HttpRequest, pk: int, action: str = "see") -> CareJob:
    among = queries.of(request.barn).with_costs().select_related("blanket__owner", "on_horse", "reported_by", "payer")
    return access.fetch(request.person, CareJob, pk, action, among=among)


def _job_page(request: HttpRequest, job: CareJob) -> dict[str, Any]:
    allowed = {action for action in ("change", "fix", "approve") if access.may(request.person, action, job)}
    words = [word for word in table.possible(job.step) if ACTIONS.get(word, "change") in allowed]
    words = [word for word in words if word != CareWord.FIX or job.kind == CareKind.REPAIR]
    usual = _usual(job) if _usual(job) in words else None
    shown = care_page.context(request, job)
    last = shown["steps"][-1].move if shown["steps"] else None
    return shown | {
        "may_take_back": last and last.word in domain.ANSWERS and last.by == request.person,
        "usual": usual,
        "form": StepForm(job=job, word=usual, person=request.person) if usual else None,
        "words": [word for word in words if word != usual],
        "may_report": access.may(request.person, "handle", job.blanket),
        "damage_form": DamageForm(),
    }


def _usual(job: CareJob) -> CareWord | None:
    if job.step == CareStep.DECIDED:
        return CareWord.DO_HERE if job.decision == "here" else CareWord.BAG
    return USUAL_WORD.get(CareStep(job.step))


@require_http_methods(BOTH)
def care_ask(request: HttpRequest, pk: int) -> HttpResponse:
    """Asks for a wash, a repair or waterproofing of a blanket."""
    blanket = access.fetch(request.person, Blanket, pk, "handle")
    form = AskForm(request.POST or None, initial={"kind": request.GET.get("kind", "")})
    page = Page(
        heading=_("Ask for work on %(tag)s") % {"tag": blanket},
        submit=_("Ask"),
        back=reverse("care", args=[request.barn.slug]),
        said=_("Asked for."),
    )

    def call(actor: Actor) -> CareJob:
        return domain.ask(blanket, CareKind(form.cleaned_data["kind"]), actor=actor, note=form.cleaned_data["note"])

    return form_page(request, form, page, call, then=lambda job: reverse("care_job", args=[request.barn.slug, job.pk]))


@require_safe
def paper(request: HttpRequest, pk: int) -> HttpResponse:
    """A picture of a bill: managers and the blanket's owner only."""
    found = access.fetch(request.person, Paper, pk)
    try:
        with default_storage.open(found.path) as kept:
            return HttpResponse(kept.read(), content_type="image/jpeg")
    except FileNotFoundError:
        raise Http404 from None


@require_http_methods(BOTH)
def care_rules(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "change", CareRules)
    form = CareRulesForm(request.POST or None, record=queries.rules(request.barn))
    page = Page(
        heading=_("The house's rules for care"),
        submit=_("Save"),
        back=reverse("care", args=[request.barn.slug]),
        said=_("Saved."),
    )

    def call(actor: Actor) -> CareRules:
        return rules_domain.set_rules(request.barn, values=form.values(), seen=form.cleaned_data["seen"], actor=actor)

    return form_page(request, form, page, call)
