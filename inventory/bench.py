"""How the whole-barn page compares with a bare page through the same middleware: a ratio in one run, and queries."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from statistics import median
from typing import Any

from django.contrib.auth import get_user_model
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import include, path, reverse
from django.utils import timezone

from barnrugs.barns.models import Barn, Person
from horses.models import Coat, Condition, Horse, Measurement, Paddock, PaddockStay
from inventory import tags
from inventory.enums import Kind, Waterproofing
from inventory.models import Blanket

CLIPS = ("none", "trace", "blanket", "full")
CONDITIONS = {"asked": "1", "weather": "own", "air": "20", "wind": "breezy", "falling": "rain", "place": "schedule"}


def bare(request: HttpRequest) -> HttpResponse:
    """A page with nothing on it but the frame."""
    return render(request, "inventory/bare.html")


urlpatterns = [path("barns/<slug:slug>/bare/", bare, name="bare"), path("", include("barnrugs.urls"))]


@dataclass(frozen=True)
class PageBench:
    horses: int
    blankets: int
    page_s: float
    bare_s: float
    queries: int
    bytes_sent: int

    @property
    def times_bare(self) -> float:
        return self.page_s / self.bare_s


def page_bench(clock: Callable[[], float], *, horses: int, blankets: int, rounds: int = 5) -> PageBench:
    """The median time of the tonight page of an invented barn, and of a bare page, by the same signed-in manager."""
    barn, client = invented_barn(horses, blankets)
    with override_settings(ROOT_URLCONF="inventory.bench", ALLOWED_HOSTS=["testserver"], SECURE_SSL_REDIRECT=False):
        page, frame = reverse("tonight", args=[barn.slug]), reverse("bare", args=[barn.slug])
        client.get(page, CONDITIONS)
        with CaptureQueriesContext(connection) as asked:
            answer = client.get(page, CONDITIONS)
        queries = len(asked)
        assert answer.status_code == 200, answer.status_code  # noqa: S101
        return PageBench(
            horses=horses,
            blankets=blankets,
            page_s=_median(clock, rounds, lambda: client.get(page, CONDITIONS)),
            bare_s=_median(clock, rounds * 4, lambda: client.get(frame)),
            queries=queries,
            bytes_sent=len(answer.content),
        )


def _median(clock: Callable[[], float], rounds: int, call: Callable[[], Any]) -> float:
    times = []
    for _ in range(rounds):
        start = clock()
        call()
        times.append(clock() - start)
    return median(times)


def invented_barn(horses: int, blankets: int) -> tuple[Barn, Client]:
    """A barn of horses in four paddocks, each blanket but one in six somebody's own."""
    number = Barn.objects.count()
    barn = Barn.objects.create(name=f"Measured {number}", slug=f"measured-{number}", time_zone="America/Anchorage")
    user = get_user_model().objects.create(username=f"measured{number}", email=f"measured{number}@example.org")
    Person.objects.create(barn=barn, user=user, name="Measurer", is_manager=True)
    _blankets(barn, _horses(barn, horses), blankets)
    client = Client()
    client.force_login(user)
    return barn, client


def _horses(barn: Barn, count: int) -> list[Horse]:
    today = timezone.now().date()
    paddocks = [Paddock.objects.create(barn=barn, name=f"Field {number}") for number in range(4)]
    made = Horse.objects.bulk_create(
        Horse(barn=barn, name=f"Horse {number}", walk_order=number, birth_year=today.year - 9, mass_kg=420 + 3 * number)
        for number in range(count)
    )
    Measurement.objects.bulk_create(
        Measurement(barn=barn, horse=horse, on=today - timedelta(days=30), chest_to_tail_cm=190 + 2 * (number % 6))
        for number, horse in enumerate(made)
    )
    Coat.objects.bulk_create(
        Coat(barn=barn, horse=horse, on=today - timedelta(days=20), clip=CLIPS[number % 4], clipped_now=number % 4 > 0)
        for number, horse in enumerate(made)
    )
    Condition.objects.bulk_create(
        Condition(barn=barn, horse=horse, on=today - timedelta(days=20), score=4 + number % 3)
        for number, horse in enumerate(made)
    )
    PaddockStay.objects.bulk_create(
        PaddockStay(barn=barn, horse=horse, paddock=paddocks[number % 4], since=today - timedelta(days=60))
        for number, horse in enumerate(made)
    )
    return made


def _blankets(barn: Barn, horses: list[Horse], count: int) -> None:
    kinds = (Kind.TURNOUT, Kind.TURNOUT, Kind.STABLE, Kind.LINER, Kind.RAIN_SHEET)
    fills = (0, 100, 200, 300, 400)
    Blanket.objects.bulk_create(
        Blanket(
            barn=barn,
            tag=tags.numbered(number),
            usual_horse=None if number % 6 == 5 else horses[number % len(horses)],
            kind=kinds[number % 5],
            fill_g=0 if kinds[number % 5] == Kind.RAIN_SHEET else fills[number % 7 % 5],
            size_in=74 + 2 * (number % 4),
            denier=1200,
            waterproofing=Waterproofing.WATERPROOF
            if kinds[number % 5] in (Kind.TURNOUT, Kind.RAIN_SHEET)
            else Waterproofing.NONE,
        )
        for number in range(count)
    )
