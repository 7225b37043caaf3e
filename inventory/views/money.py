"""Costs, the fee rule, and the monthly statement of each owner. Staff see none of it."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Q
from django.db.models import Sum as Added
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import formats, timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from barnrugs.barns.views.pages import BOTH, Page, form_page
from inventory.domain import money as domain
from inventory.domain.money import Statement
from inventory.forms.money import FeeRuleForm
from inventory.models import Blanket, CareMove, FeeRule
from inventory.queries import care as care_queries
from inventory.queries import money as queries
from inventory.queries.money import Month
from inventory.sheets import writing

FIRST_YEAR, LAST_YEAR = 2000, 2200
GROUPS = {
    "blanket": gettext_lazy("By blanket"),
    "horse": gettext_lazy("By horse"),
    "owner": gettext_lazy("By who pays"),
    "month": gettext_lazy("By month"),
}
KINDS = ("wash", "repair", "waterproofing")


@dataclass(frozen=True)
class Weighed:
    """What a repair is weighed against: price, age in years, and all its care so far in per cent of the price."""

    price: Decimal | None
    years: str
    share: int | None
    replace: bool


@dataclass
class Sum:
    """One line of the costs: how many steps cost how much, by kind of work."""

    label: str
    url: str = ""
    count: int = 0
    total: Decimal = Decimal("0.00")
    by_kind: dict[str, Decimal] = field(default_factory=lambda: defaultdict(Decimal))
    weighed: Weighed | None = None

    def add(self, move: CareMove) -> None:
        cost = move.cost or Decimal(0)
        self.count += 1
        self.total += cost
        self.by_kind[move.job.kind] += cost

    @property
    def kinds(self) -> list[Decimal]:
        return [self.by_kind.get(kind, Decimal(0)) for kind in KINDS]


@require_safe
def money(request: HttpRequest) -> HttpResponse:
    """What care cost in a year: a manager sees all, an owner what they own or pay for."""
    access.demand(request.person, "see_money", CareMove)
    now = queries.today(request.barn, timezone.now())
    year = _whole(request.GET.get("year", ""), now.year)
    by = request.GET.get("by", "") if request.GET.get("by", "") in GROUPS else "blanket"
    start, end = (queries.midnight(date(each, 1, 1), request.barn) for each in (year, year + 1))
    found = access.rows(request.person, CareMove, "see_money", among=queries.costs(request.barn, start, end))
    sums = _sums(request, list(found), by)
    if by == "blanket":
        _weigh(request, sums, now)
    return render(
        request,
        "inventory/money.html",
        {
            "year": year,
            "by": by,
            "groups": GROUPS,
            "sums": _in_order(sums, by),
            "total": sum((one.total for one in sums.values()), Decimal("0.00")),
            "manages": access.may_any(request.person, "change", FeeRule),
            "this_month": queries.month_of(now),
            "rule": queries.rule_on(queries.rules(request.barn), now),
        },
    )


def _whole(text: str, otherwise: int) -> int:
    known = text.isascii() and text.isdigit() and len(text) == 4
    return int(text) if known and FIRST_YEAR <= int(text) < LAST_YEAR else otherwise


def _weigh(request: HttpRequest, sums: dict[Any, Sum], today: date) -> None:
    """Of the blankets whose price this person may see. The care of all years counts, not only of the one shown."""
    priced = access.rows(request.person, Blanket, "see_money").filter(pk__in=sums)
    rules = care_queries.rules(request.barn)
    weighed = Blanket.objects.filter(pk__in=priced.values("pk")).annotate(all_care=Added("care_jobs__moves__cost"))
    for blanket in weighed:
        share = care_queries.share_of_price(blanket.all_care, blanket.price)
        years = f"{(today - blanket.bought_on).days / 365.25:.1f}" if blanket.bought_on else ""
        sums[blanket.pk].weighed = Weighed(blanket.price, years, share, care_queries.asks_to_replace(share, rules))


def _sums(request: HttpRequest, moves: list[CareMove], by: str) -> dict[Any, Sum]:
    seen = set(access.rows(request.person, Blanket).filter(care_jobs__moves__in=moves).values_list("pk", flat=True))
    sums: dict[Any, Sum] = {}
    for move in moves:
        key, label, url = _place(request, move, by)
        sums.setdefault(key, Sum(label, url if by != "blanket" or key in seen else "")).add(move)
    return sums


def _in_order(sums: dict[Any, Sum], by: str) -> list[Sum]:
    if by == "month":
        return [sums[key] for key in sorted(sums)]
    return sorted(sums.values(), key=lambda one: (-one.total, one.label))


def _place(request: HttpRequest, move: CareMove, by: str) -> tuple[Any, str, str]:
    blanket, payer = move.job.blanket, move.job.payer
    if by == "month":
        local = timezone.localtime(move.at, request.barn.zone).date()
        return (local.year, local.month), formats.date_format(local, "F Y"), ""
    if by == "horse":
        horse = move.job.on_horse or blanket.usual_horse
        return (horse.pk if horse else 0), str(horse or _("no horse")), ""
    if by == "owner":
        return (payer.pk if payer else 0), str(payer or _("the barn")), ""
    return blanket.pk, str(blanket), reverse("blanket", args=[request.barn.slug, blanket.pk])


@require_http_methods(BOTH)
def fee_rule(request: HttpRequest) -> HttpResponse:
    """The fee rules so far, and a new one from a day on."""
    access.demand(request.person, "change", FeeRule)
    rules = queries.rules(request.barn)
    form = FeeRuleForm(request.POST or None, initial=_initial(rules))
    page = Page(
        heading=_("What changing blankets costs"),
        submit=_("Save the rule"),
        back=reverse("money", args=[request.barn.slug]),
        said=_("Saved."),
        template="inventory/fee_rule.html",
        more={"rules": rules},
    )

    def call(actor: Actor) -> FeeRule:
        return domain.set_fee_rule(request.barn, rule=form.rule(), reasons=form.cleaned_data["reasons"], actor=actor)

    return form_page(request, form, page, call)


def _initial(rules: list[FeeRule]) -> dict[str, Any]:
    if not rules:
        return {}
    last = rules[0]
    reasons = "\n".join(f"{reason.words}: {reason.price}" for reason in last.reasons.all())
    return {name: getattr(last, name) for name in ("kind", "monthly", "per_change", "included")} | {"reasons": reasons}


@require_safe
def statements(request: HttpRequest, year: int, month: int) -> HttpResponse:
    """Everybody's statement of a month, for managers."""
    access.demand(request.person, "see", FeeRule)
    asked = _month(year, month)
    found = sorted(domain.statements(request.barn, asked).values(), key=lambda one: (one.person.name, one.person.pk))
    return render(
        request,
        "inventory/statements.html",
        {"month": asked, "statements": found, "total": sum((one.total for one in found), Decimal("0.00"))},
    )


def _month(year: int, month: int) -> Month:
    if not (FIRST_YEAR <= year < LAST_YEAR and 1 <= month <= 12):
        raise Http404
    return Month(year, month)


def _statement(request: HttpRequest, pk: int, year: int, month: int) -> Statement:
    """A manager reads everybody's, an owner their own; to anybody else there is none."""
    readable = Q() if access.may_any(request.person, "see", FeeRule) else Q(pk=request.person.pk, is_owner=True)
    person = Person.objects.filter(readable, barn=request.barn, pk=pk).first()
    if person is None:
        raise Http404
    return domain.statement(request.barn, person, _month(year, month))


@require_safe
def statement(request: HttpRequest, pk: int, year: int, month: int) -> HttpResponse:
    found = _statement(request, pk, year, month)
    return render(
        request,
        "inventory/statement.html",
        {
            "statement": found,
            "month": found.month,
            "rule": queries.rule_on(queries.rules(request.barn), found.month.last),
            "printed_at": timezone.now(),
            "manages": access.may_any(request.person, "see", FeeRule),
        },
    )


@require_safe
def statement_file(request: HttpRequest, pk: int, year: int, month: int) -> HttpResponse:
    found = _statement(request, pk, year, month)
    answer = HttpResponse(writing.write("csv", "", _rows(request, found)), content_type=writing.CONTENT_TYPES["csv"])
    answer["Content-Disposition"] = f'attachment; filename="statement-{year}-{month:02}-{pk}.csv"'
    return answer


def _rows(request: HttpRequest, found: Statement) -> list[list[str]]:
    rows = [[_("Day"), _("Time"), _("Horse"), _("Blanket"), _("What"), _("Why"), _("Amount"), _("Currency")]]
    currency = request.barn.currency
    for horse in found.horses:
        if horse.monthly:
            first = found.month.first.isoformat()
            rows.append([first, "", horse.horse.name, "", _("monthly amount"), "", str(horse.monthly), currency])
        for one in horse.charged:
            day, clock = _clock(request, one.change.at)
            said = " / ".join(one.said)
            tags = " ".join([f"+{tag}" for tag in one.change.on] + [f"-{tag}" for tag in one.change.off])
            rows.append([day, clock, horse.horse.name, tags, _("change"), said, str(one.price), currency])
    for move in found.care:
        day, clock = _clock(request, move.at)
        job = move.job
        rows.append([day, clock, "", job.blanket.tag, job.get_kind_display(), move.note, str(move.cost), currency])
    return [*rows, ["", "", "", "", _("In all"), "", str(found.total), currency]]


def _clock(request: HttpRequest, at: Any) -> tuple[str, str]:
    local = timezone.localtime(at, request.barn.zone)
    return local.date().isoformat(), f"{local:%H:%M}"
