"""The barn's weather file: which one is used, what is unknown in it, and loading another."""

from datetime import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, SentWrite
from barnrugs.barns.views.writing import actor_of, perform
from barnrugs.weather import queries
from barnrugs.weather.domain import source as domain
from barnrugs.weather.forms.sources import WeatherFileForm
from barnrugs.weather.models import WeatherSource


@require_safe
def weather(request: HttpRequest) -> HttpResponse:
    """Which file is used, what it lacks, and the others that are loaded."""
    access.demand(request.person, "change", WeatherSource)
    used, *others = queries.sources(request.barn) or [None]
    return render(
        request,
        "weather/weather.html",
        {
            "used": used,
            "others": others,
            "lacks": queries.hours_without(used) if used else None,
            "clock": _other_clock(request.barn, used) if used else "",
            "form": OnceForm(),
        },
    )


def _other_clock(barn: Barn, source: WeatherSource) -> str:
    """A sentence where the file's standard time is not the barn's: it may be the file of another place."""
    winters = [datetime(2001, month, 1, tzinfo=barn.zone) for month in (1, 7)]
    offsets = [moment.utcoffset() for moment in winters]
    standard = min(offset.total_seconds() / 3600 for offset in offsets if offset is not None)
    if standard == source.utc_offset_h:
        return ""
    return _("The file's clock is UTC%(file)+g h, the barn's standard time UTC%(barn)+g h: is it the right place?") % {
        "file": source.utc_offset_h,
        "barn": standard,
    }


@require_http_methods(["GET", "HEAD", "POST"])
def weather_send(request: HttpRequest) -> HttpResponse:
    """Loads a file: read whole first, then written in chunks; it counts once it is whole."""
    access.demand(request.person, "add", WeatherSource)
    form = WeatherFileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        done = _load(request, form)
        if done:
            return done
    return render(request, "weather/weather_send.html", {"form": form}, status=400 if form.errors else 200)


def _load(request: HttpRequest, form: WeatherFileForm) -> HttpResponse | None:
    known = _is_known(request, form)
    source = None if known else domain.prepare(request.barn, form.year, name=form.called)

    def call(actor: Actor) -> str:
        if source is not None:
            domain.make_count(source, actor)
        return reverse("weather", args=[request.barn.slug])

    done = perform(request, form, call)
    if isinstance(done, HttpResponseRedirect) and source is not None:
        domain.remove_uncounted(request.barn, timezone.now())
        messages.success(request, _("%(name)s is the barn's weather now.") % {"name": source.name})
    return done


def _is_known(request: HttpRequest, form: WeatherFileForm) -> bool:
    """Sent before under this number: nothing need be written to give the answer again."""
    actor = actor_of(request)
    sender = actor.device.key if actor.device else actor.person.key
    return SentWrite.objects.filter(sender_key=sender, once=form.cleaned_data["once"]).exists()


@require_POST
def weather_use(request: HttpRequest, pk: int) -> HttpResponse:
    """Another of the files that are loaded."""
    source = access.fetch(request.person, WeatherSource, pk, "change")
    form = OnceForm(request.POST)
    page = reverse("weather", args=[request.barn.slug])
    if form.is_valid():
        done = perform(request, form, lambda actor: (domain.use(source, actor=actor), page)[1])
        if done:
            return done
    for sentences in form.errors.values():
        messages.error(request, " ".join(map(str, sentences)))
    return HttpResponseRedirect(page)
