"""The steps from nothing to a barn's first list. Each app registers its own in ready(); the page only shows them."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy as _

from barnrugs.barns.context import page_url
from barnrugs.barns.models import Barn
from barnrugs.barns.queries import house


@dataclass(frozen=True)
class Step:
    """One step: what to do, why, at which of our pages, and how one knows that it is done."""

    place: int
    label: Any
    why: Any
    page: str
    is_done: Callable[[Barn], bool]


@dataclass(frozen=True)
class StepNow:
    label: str
    why: str
    url: str
    done: bool


_steps: dict[int, Step] = {}


def register(place: int, *, label: Any, why: Any, page: str, is_done: Callable[[Barn], bool]) -> None:
    _steps[place] = Step(place, label, why, page, is_done)


def steps(barn: Barn) -> list[StepNow]:
    """The steps in order, as they stand; a step whose page this house lacks is left out."""
    return [
        StepNow(str(step.label), str(step.why), url, step.is_done(barn))
        for _place, step in sorted(_steps.items())
        if (url := page_url(step.page, barn.slug))
    ]


def is_finished(barn: Barn) -> bool:
    return all(step.is_done(barn) for step in _steps.values() if page_url(step.page, barn.slug))


def register_own() -> None:
    register(
        10,
        label=_("House rules"),
        why=_("Units, time zone, who decides, when rain counts."),
        page="house_change",
        is_done=house.rules_were_looked_at,
    )
    register(
        20,
        label=_("Staffed times"),
        why=_("When somebody is there to change blankets."),
        page="staffed_times",
        is_done=house.times_were_looked_at,
    )
    register(
        70, label=_("People"), why=_("Staff and owners, each in their part."), page="people", is_done=house.has_people
    )
