"""The queues of open work as lines of a page: filtered, sorted, with money only for whom it concerns."""

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.db.models import Q, QuerySet
from django.http import HttpRequest, QueryDict
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from barnrugs.barns import access
from barnrugs.barns.context import page_url
from barnrugs.barns.models import Person
from inventory.enums import CareDecision, CareStep, Queue
from inventory.forms.care import ManyForm
from inventory.models import Batch, Blanket, CareJob, CareMove, CareRules
from inventory.models.care import OFF_SITE
from inventory.queries import care as queries
from inventory.queries import care_queue
from inventory.views import care_chart

A_PAGE = 60
KEPT = ("queue", "owner", "step", "q", "sort")
SORTS = {
    "oldest": gettext_lazy("Oldest first"),
    "newest": gettext_lazy("Newest first"),
    "tag": gettext_lazy("By tag"),
    "owner": gettext_lazy("By owner"),
    "due": gettext_lazy("By the day it is due back"),
    "step": gettext_lazy("By step"),
    "cost": gettext_lazy("Dearest first"),
}
MONEY_SORTS = {"cost"}
DOORS = (
    ("drying", gettext_lazy("Drying")),
    ("batches", gettext_lazy("Batches")),
    ("season", gettext_lazy("End of season")),
    ("autumn", gettext_lazy("Autumn list")),
    ("money", gettext_lazy("Costs and fees")),
    ("care_rules", gettext_lazy("House rules for care")),
    ("mail", gettext_lazy("Letters")),
)
MANAGERS_ONLY = {"batches", "care_rules"}


@dataclass(frozen=True)
class Asked:
    """What the address asks for; what it cannot mean is left at its default."""

    queue: str
    owner: str
    step: str
    q: str
    sort: str

    def query(self, **other: str) -> str:
        kept = {name: value for name, value in (vars(self) | other).items() if value}
        return f"?{urlencode(kept)}" if kept else ""


@dataclass(frozen=True)
class Line:
    job: Any
    days: int
    money: bool
    may_change: bool
    late: str
    share: int | None
    replace: bool


def asked(data: QueryDict, default: str) -> Asked:
    def among(name: str, known: Any, otherwise: str) -> str:
        given = data.get(name, "")
        return given if given in known else otherwise

    owner = data.get("owner", "")
    return Asked(
        queue=among("queue", Queue.values, default),
        owner=owner if owner == "barn" or re.fullmatch(r"[0-9]{1,18}", owner) else "",
        step=among("step", CareStep.values, ""),
        q=data.get("q", "")[:60].strip(),
        sort=among("sort", SORTS, "oldest"),
    )


def address(query: str) -> str:
    """A query of this page that somebody sent back, with nothing in it that this page does not know."""
    return asked(QueryDict(query.removeprefix("?")[:400]), Queue.ALL).query()


def context(request: HttpRequest, refused: ManyForm | None = None) -> dict[str, Any]:
    """What the page shows; `refused`: the form for many lines as it was sent, to be shown again with its ticks."""
    person, barn, now = request.person, request.barn, timezone.now()
    today = timezone.localtime(now, barn.zone).date()
    late = care_queue.decide_by(barn, now)
    mine = access.rows(person, CareJob, "see", among=queries.of(barn))
    lengths = care_queue.lengths(mine, today, late)
    said = asked(request.GET, Queue.DECISIONS if lengths[Queue.DECISIONS] else Queue.ALL)
    inside = mine.filter(care_queue.condition(said.queue, today, late))
    sees_money = sees_all_prices(person, mine)
    found = narrowed(inside.open(), said, sees_money=sees_money)
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    shown = lines(request, page, today, late)
    return {
        "asked": said,
        "tabs": [(queue, lengths[queue], said.query(queue=queue)) for queue in Queue],
        "queue_label": Queue(said.queue).label,
        "page": page,
        "lines": shown,
        "can_change_any": any(line.may_change for line in shown),
        "doors": [(page_url(name, barn.slug), label) for name, label in DOORS if _may_enter(person, name)],
        "due": _due(request, said, now),
        "owners": Person.objects.filter(barn=barn, blankets__care_jobs__in=mine.open()).distinct(),
        "steps": [step for step in CareStep if step not in {"checked", "closed", "retired"}],
        "sorts": {name: label for name, label in SORTS.items() if sees_money or name not in MONEY_SORTS},
        "decisions": CareDecision,
        "many": refused or ManyForm(person=person),
        "off_site": OFF_SITE,
        "once": ManyForm(person=person).fields["once"].initial,
        "ticked": {name: set(request.POST.getlist(name)) for name in ("jobs", "blankets")},
        "chart": care_chart.draw(
            care_queue.weeks(
                care_queue.spans(_of_this_kind(mine, said.queue), now - timedelta(weeks=care_queue.WEEKS)), barn, now
            )
        ),
    }


def sees_all_prices(person: Person, jobs: "QuerySet[CareJob]") -> bool:
    """Whether no open line's price is kept from this person: else the order would tell it."""
    if person.is_manager or person.is_staff:
        return bool(person.is_manager)
    priced = access.rows(person, Blanket, "see_money")
    return jobs.open().exists() and not jobs.open().exclude(blanket__in=priced).exists()  # type: ignore[attr-defined]


def _may_enter(person: Person, name: str) -> bool:
    if name == "money":
        return access.may_any(person, "see_money", CareMove)
    return name not in MANAGERS_ONLY or access.may_any(person, "add", Batch)


def narrowed(jobs: Any, said: Asked, *, sees_money: bool) -> Any:
    """An owner or a step, a word in the tag, horse or note; sorted. Nobody can sort by money they may not see."""
    if said.owner:
        jobs = jobs.filter(blanket__owner=None if said.owner == "barn" else int(said.owner))
    if said.step:
        jobs = jobs.filter(step=said.step)
    if said.q:
        jobs = jobs.filter(
            Q(blanket__tag__icontains=said.q)
            | Q(blanket__usual_horse__name__icontains=said.q)
            | Q(on_horse__name__icontains=said.q)
            | Q(sent_to__icontains=said.q)
        )
    order = "oldest" if said.sort in MONEY_SORTS and not sees_money else said.sort
    jobs = jobs.with_costs().select_related("blanket__owner", "blanket__usual_horse", "on_horse")
    return jobs.order_by(*care_queue.ORDERS[order])


def _of_this_kind(mine: Any, queue: str) -> "QuerySet[CareJob]":
    """The history of a queue by the kind of work; of decisions and lateness there is no history, so of all work."""
    return mine.filter(kind=queue) if queue in {Queue.WASH, Queue.REPAIR, Queue.WATERPROOFING} else mine


def lines(request: HttpRequest, page: Any, today: date, late: datetime) -> list[Line]:
    shown = [job.pk for job in page]
    changeable = set(access.rows(request.person, CareJob, "change").filter(pk__in=shown).values_list("pk", flat=True))
    priced = access.rows(request.person, Blanket, "see_money").filter(care_jobs__in=shown)
    money = set(priced.values_list("pk", flat=True))
    rules = queries.rules(request.barn)
    return [_line(job, today, late, job.blanket_id in money, job.pk in changeable, rules) for job in page]


def _line(job: Any, today: date, late: datetime, money: bool, may_change: bool, rules: CareRules) -> Line:
    share = queries.share_of_price(job.blanket_cost, job.blanket.price) if money else None
    return Line(
        job=job,
        days=(today - timezone.localtime(job.reported_at).date()).days,
        money=money,
        may_change=may_change,
        late=lateness(job, today, late),
        share=share,
        replace=queries.asks_to_replace(share, rules),
    )


def lateness(job: CareJob, today: date, late: datetime) -> str:
    """Why a piece of work is overdue, in a sentence; empty where it is not."""
    if job.step == CareStep.LOST:
        return _("Lost.")
    if job.outcome == "missing":
        return _("Did not come back with its batch.")
    if job.due_on and job.due_on < today and job.step in {"away", "quoted", "approved", "declined"}:
        days = (today - job.due_on).days
        return ngettext("Was due back %(days)d day ago.", "Was due back %(days)d days ago.", days) % {"days": days}
    if job.temporary_fix_until and job.temporary_fix_until < today:
        return _("The temporary fix has run out.")
    if job.step in {"reported", "quoted"} and job.reported_at < late:
        return _("Has waited long for a decision.")
    return ""


def _due(request: HttpRequest, said: Asked, now: datetime) -> list[Blanket]:
    """Waterproofing due by the calendar stands below its queue, to be asked for."""
    if said.queue != Queue.WATERPROOFING:
        return []
    due = care_queue.proofing_due(request.barn, now)
    return list(access.rows(request.person, Blanket, "change", among=due)[:A_PAGE])
