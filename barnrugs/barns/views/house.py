from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access, first_run
from barnrugs.barns.context import page_url
from barnrugs.barns.domain import house as domain
from barnrugs.barns.forms.house import HouseForm, StaffedTimesForm
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Barn, Person, StaffedTime
from barnrugs.barns.models.barn import Units
from barnrugs.barns.models.person import Role
from barnrugs.barns.queries import house as queries
from barnrugs.barns.queries import journal
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from barnrugs.matching import units

ALL = frozenset(Role)
MANAGERS = frozenset({Role.MANAGER})


@dataclass(frozen=True)
class Door:
    """A page that leads on from the house page, and the roles it opens for."""

    page: str
    label: object
    help: object
    who: frozenset[Role] = ALL


DOORS = (
    Door("paddocks", gettext_lazy("Paddocks"), gettext_lazy("Shelter, turnout times, who stands where.")),
    Door("people", gettext_lazy("People"), gettext_lazy("Who is here, in which part; letting somebody in."), MANAGERS),
    Door("journal", gettext_lazy("Journal"), gettext_lazy("Everything that was done, and by whom."), MANAGERS),
    Door(
        "care_rules", gettext_lazy("Rules of care"), gettext_lazy("When washes and waterproofing fall due."), MANAGERS
    ),
    Door(
        "money",
        gettext_lazy("Fees and costs"),
        gettext_lazy("Changes by horse and month, repairs and washes."),
        frozenset({Role.MANAGER, Role.OWNER}),
    ),
    Door("charts", gettext_lazy("Charts"), gettext_lazy("What goes on at which temperature; all of them to print.")),
    Door("house_chart", gettext_lazy("House chart"), gettext_lazy("For horses without a chart of their own.")),
    Door("tags", gettext_lazy("Tags to print"), gettext_lazy("Labels for blankets.")),
    Door("imports", gettext_lazy("Import"), gettext_lazy("Horses and blankets from a spreadsheet."), MANAGERS),
    Door("exports", gettext_lazy("Export"), gettext_lazy("Horses and blankets as a spreadsheet.")),
    Door("mail", gettext_lazy("Letters"), gettext_lazy("Which letters you get from this barn.")),
    Door("weather", gettext_lazy("Weather"), gettext_lazy("Where the barn's weather comes from."), MANAGERS),
    Door("devices", gettext_lazy("Shared phones"), gettext_lazy("Phones that several people use."), MANAGERS),
    Door(
        "questions",
        gettext_lazy("Questions"),
        gettext_lazy("What was noted without signal and contradicts what others noted."),
        MANAGERS,
    ),
    Door(
        "my_pin",
        gettext_lazy("My PIN"),
        gettext_lazy("To come in on a shared phone."),
        frozenset({Role.MANAGER, Role.STAFF}),
    ),
)


@require_safe
def barn(request: HttpRequest) -> HttpResponse:
    """The house rules, for everybody to read, and the doors to what belongs to them."""
    manages = access.may_any(request.person, "change", Barn)
    doors = [
        {"url": url, "label": door.label, "help": door.help}
        for door in DOORS
        if door.who & request.person.roles and (url := page_url(door.page, request.barn.slug))
    ]
    return render(
        request,
        "barns/house.html",
        {
            "manages": manages,
            "doors": doors,
            "times": StaffedTime.objects.filter(barn=request.barn),
            "managers": Person.objects.filter(barn=request.barn, is_manager=True, left_at__isnull=True),
            "gain": warmer_inside(request.barn),
            "last": journal.sentences(queries.edits_of(request.barn)[:1], request.person) if manages else [],
            "steps_left": manages and not first_run.is_finished(request.barn),
        },
    )


def warmer_inside(barn: Barn) -> str:
    us = barn.units == Units.US
    return f"{units.difference(barn.indoor_gain_c, us=us):.3g} {units.degree(us=us)}"


@require_http_methods(BOTH)
def house_change(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "change", Barn)
    form = HouseForm(sent(request), record=request.barn)
    page = Page(
        heading=_("House rules"),
        submit=_("Save the house rules"),
        back=reverse("barn", args=[request.barn.slug]),
        said=_("Saved."),
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.change_house(
            request.barn, values=form.values(), seen=form.cleaned_data["seen"], actor=actor
        ),
    )


@require_http_methods(BOTH)
def house_take_back(request: HttpRequest, entry: int) -> HttpResponse:
    access.demand(request.person, "change", Barn)
    edit = get_object_or_404(queries.edits_of(request.barn), pk=entry)
    page = Page(
        heading=_("Take back a change of the house rules?"),
        intro=_("It changed: %(what)s. Taken back, it is as it was before; both entries stay in the journal.")
        % {"what": edit.after.get("what", "")},
        submit=_("Take it back"),
        back=reverse("barn", args=[request.barn.slug]),
    )
    return form_page(request, OnceForm(sent(request)), page, lambda actor: domain.take_back(edit, actor=actor))


@require_http_methods(BOTH)
def staffed_times(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "change", StaffedTime)
    form = StaffedTimesForm(sent(request), known=queries.staffed_times(request.barn))
    page = Page(
        heading=_("Staffed times"),
        intro=_("When somebody is there to change blankets. Lists and plans are made for these times only."),
        submit=_("Save the times"),
        back=reverse("barn", args=[request.barn.slug]),
    )
    return form_page(
        request, form, page, lambda actor: domain.set_staffed_times(request.barn, times=form.times(), actor=actor)
    )
