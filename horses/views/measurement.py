from collections.abc import Callable
from functools import partial

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from horses.domain import measurement as domain
from horses.forms.measurement import CoatForm, ConditionForm, MeasurementForm, WithdrawForm
from horses.models import Coat, Condition, Horse, Measurement
from horses.queries import horse as queries
from horses.views.horse import page_of


@require_safe
def how_to_measure(request: HttpRequest) -> HttpResponse:
    return render(request, "horses/how_to_measure.html")


@require_http_methods(BOTH)
def measurement_add(request: HttpRequest, pk: int) -> HttpResponse:
    horse = fetched(request, pk, Measurement)
    form = MeasurementForm(sent(request), barn=request.barn, today=queries.today_in(request.barn))
    page = Page(
        heading=_("Measure %(horse)s") % {"horse": horse},
        submit=_("Save the measurement"),
        back=page_of(horse, request),
        template="horses/measure.html",
        more={"horse": horse},
    )
    return form_page(request, form, page, lambda actor: domain.measure(horse, values=form.values(), actor=actor))


@require_http_methods(BOTH)
def coat_add(request: HttpRequest, pk: int) -> HttpResponse:
    horse = fetched(request, pk, Coat)
    form = CoatForm(sent(request), today=queries.today_in(request.barn))
    page = Page(
        heading=_("The coat of %(horse)s") % {"horse": horse},
        intro=_(
            "A newly clipped horse loses more heat: look at it more often. If it shivers or goes off its feed, "
            "call the veterinarian."
        ),
        submit=_("Save the coat"),
        back=page_of(horse, request),
    )
    return form_page(request, form, page, lambda actor: domain.note_coat(horse, values=form.values(), actor=actor))


@require_http_methods(BOTH)
def condition_add(request: HttpRequest, pk: int) -> HttpResponse:
    horse = fetched(request, pk, Condition)
    today = queries.today_in(request.barn)
    form = ConditionForm(sent(request), today=today, last=queries.condition_of(horse, today))
    page = Page(
        heading=_("The condition of %(horse)s") % {"horse": horse},
        intro=_(
            "Take every blanket off and feel neck, withers, ribs, loin and tail head: a blanket hides "
            "a loss of weight. At 3 or less, or when it falls quickly, ask the veterinarian."
        ),
        submit=_("Save the condition"),
        back=page_of(horse, request),
    )
    return form_page(request, form, page, lambda actor: domain.note_condition(horse, values=form.values(), actor=actor))


def fetched(request: HttpRequest, pk: int, model: type[Measurement | Coat | Condition]) -> Horse:
    access.demand(request.person, "add", model)
    return access.fetch(request.person, Horse, pk)


def withdrawing(model: type[Measurement | Coat | Condition]) -> Callable[..., HttpResponse]:
    return require_http_methods(BOTH)(partial(withdraw, model=model))


def withdraw(
    request: HttpRequest, pk: int, record: int, *, model: type[Measurement | Coat | Condition]
) -> HttpResponse:
    """The horse is fetched and then its entry, so that the form sent twice finds its way when the entry is gone."""
    horse = access.fetch(request.person, Horse, pk)
    access.demand(request.person, "withdraw", model)
    wrong = model._default_manager.filter(horse=horse, pk=record).first()
    if wrong is None and request.method != "POST":
        raise Http404
    page = Page(
        heading=_("Withdraw an entry of %(horse)s?") % {"horse": horse},
        intro=_("The entry of %(day)s no longer counts; what it said stays in the journal.")
        % {"day": date_format(wrong.on, "j F Y")}
        if wrong
        else "",
        submit=_("Withdraw it"),
        back=page_of(horse, request),
    )
    form = WithdrawForm(sent(request))
    return form_page(
        request, form, page, lambda actor: domain.withdraw(wrong, why=form.cleaned_data["why"], actor=actor)
    )
