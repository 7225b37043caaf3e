"""The first page of each role: what is due, what the manager must see, what an owner wants to know."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from barnrugs.barns.context import page_url
from barnrugs.barns.models import Barn
from barnrugs.barns.models.person import Role
from barnrugs.matching.reasons import Voice
from horses.models import Horse
from inventory.domain import due as domain
from inventory.domain import lists, sessions, since, turnout
from inventory.enums import DecidedBy
from inventory.forms.lists import why_in_words
from inventory.models import Blanket, CareJob, ChangeList, ListLine, Wearing
from inventory.queries import blankets, care, care_queue
from inventory.queries import damage as alarms
from inventory.queries import first_page as queries
from inventory.queries import lists as list_queries
from inventory.queries import questions as asked
from inventory.views import answers, list_rows
from inventory.views import lists as list_views
from inventory.views.decisions import DECIDES

ORDER = (Role.MANAGER, Role.STAFF, Role.OWNER)
"""Which page a person of several roles sees first, until they turn to another."""


@require_safe
def first_page(request: HttpRequest) -> HttpResponse:
    person = request.person
    held = [role for role in ORDER if role in person.roles]
    kept_under = f"first_page_{request.barn.pk}"
    asked = request.GET.get("as")
    if asked in held:
        request.session[kept_under] = asked
        return redirect("first_page", request.barn.slug)
    kept = request.session.get(kept_under)
    role = Role(kept) if kept in held else held[0]
    pages = {Role.MANAGER: manager, Role.STAFF: staff, Role.OWNER: owner}
    return pages[role](request, [other.value for other in held if other != role])


def staff(request: HttpRequest, roles: list[str]) -> HttpResponse:
    return list_views.show(request, sessions.at_hand(request.barn, timezone.now()), roles)


@dataclass(frozen=True)
class Said:
    """A line with the sentence that a manager's or an owner's page gives it."""

    line: ListLine
    words: str


def manager(request: HttpRequest, roles: list[str]) -> HttpResponse:
    barn, now = request.barn, timezone.now()
    slot = sessions.at_hand(barn, now)
    _made, missing = domain.make_coming(barn, now)
    day_before, day_after = now - timedelta(hours=24), now + timedelta(hours=24)
    made = list(list_queries.with_progress(list_queries.between(barn, day_before, day_after)))
    coming = list(queries.ahead(barn, slot.due_at, day_after))
    covered = list(queries.to_be_covered(barn))
    worn = _worn([horse.pk for horse in covered], now)
    changed = since.changed_since(barn, coming)
    return render(
        request,
        "inventory/first_manager.html",
        {
            "roles": roles,
            "slot": slot,
            "missing": missing,
            "lists": [(one, [kind.label for kind in changed.get(one.pk, ())]) for one in made],
            "left": [_left(line) for line in queries.left(barn, now, slot.due_at)],
            "gaps": _gaps(coming, barn, now),
            "covered": [(horse, [_on(one) for one in worn.get(horse.pk, [])]) for horse in covered],
            "must_come_off": alarms.must_come_off(barn),
            "queues": _queues(request, now),
            "asked": asked.waiting(barn).count(),
            "contradicted": _contradicted(request, coming),
            "otherwise": [Said(line, why_in_words(line.why)) for line in queries.otherwise(barn, now)],
            "disputed": queries.disputed(barn),
        },
    )


def _left(line: ListLine) -> Said:
    return Said(line, why_in_words(line.why) if line.why else "")


@dataclass(frozen=True)
class GapSaid:
    """words: what one looks for on the rack. lists: on which it is the same."""

    gap: domain.Gap
    words: str
    short: str
    why: str
    lists: tuple[ChangeList, ...]


def _gaps(coming: Sequence[ListLine], barn: Barn, now: datetime) -> list[GapSaid]:
    stays = list_rows.stays_of(barn, {line.horse_id for line in coming}, now)
    hours = {line.change_list_id: lists.hours_of(line.change_list) for line in coming}
    voice, found = answers.voice(barn), []
    for line in coming:
        out = turnout.hours_out(hours[line.change_list_id], line.horse, stays.get(line.horse_id), barn)
        found += domain.gaps([line], rain=domain.falls(out))
    kept = _by_tag(barn, [gap.line for gap in found])
    return _by_horse([_gap_said(gap, kept, voice) for gap in found])


def _by_tag(barn: Barn, lines: Iterable[ListLine]) -> dict[str, Blanket]:
    tags = {tag for line in lines for tag in line.tags_to}
    return {one.tag: one for one in blankets.of(barn).filter(tag__in=tags)}


def _by_horse(said: Sequence[GapSaid]) -> list[GapSaid]:
    """Those of one horse together, in the order in which horses first come; what says the same again stands once."""
    horses: dict[int, dict[tuple[Any, ...], GapSaid]] = defaultdict(dict)
    for one in said:
        line = one.gap.line
        same = (*line.tags_to, line.verdict, one.gap.bare_in_rain, one.short, one.why)
        before = horses[line.horse_id].get(same)
        horses[line.horse_id][same] = replace(before, lists=before.lists + one.lists) if before else one
    return [one for several in horses.values() for one in several.values()]


def _gap_said(gap: domain.Gap, kept: Mapping[str, Blanket], voice: Voice) -> GapSaid:
    """why: what makes it not right, or why there is no advice."""
    short = answers.short_words(gap.short, voice) if gap.short else ""
    against = [list_rows.objection(one, gap.line, voice) for one in gap.line.contradiction]
    told = [list_rows.spoken(one, voice) for one in gap.line.reasons if "code" in one]
    by_vet = f"{DECIDES[DecidedBy.VET]}." if gap.line.decided_by == DecidedBy.VET else ""
    words = answers.named_outfit(gap.line.tags_to, kept, neck=gap.line.neck)
    return GapSaid(gap, words, short, " ".join(against) or next(iter(told), by_vet), (gap.line.change_list,))


def _contradicted(request: HttpRequest, coming: Sequence[ListLine]) -> list[Said]:
    """Decisions that a refusal or the heat balance speaks against, once a horse."""
    voice = answers.voice(request.barn)
    found: dict[int, Said] = {}
    for line in coming:
        if line.contradiction and line.horse_id not in found:
            by = DECIDES[DecidedBy(line.decided_by)]
            said = " ".join(list_rows.objection(one, line, voice) for one in line.contradiction)
            found[line.horse_id] = Said(line, f"{by}. {said}")
    return list(found.values())


def _queues(request: HttpRequest, now: datetime) -> dict[str, int]:
    jobs = access.rows(request.person, CareJob, among=care.of(request.barn))
    today = timezone.localtime(now, request.barn.zone).date()
    return care_queue.lengths(jobs, today, care_queue.decide_by(request.barn, now))


@dataclass(frozen=True)
class Named:
    """words: what one looks for on the rack. usual: which of the owner's horses usually wears it. late: its time has
    passed and nobody noted what was done.
    """

    what: Any
    words: str
    usual: str = ""
    late: bool = False


@dataclass(frozen=True)
class Kept:
    """One horse as its owner's page shows it."""

    horse: Horse
    on_now: Sequence[Named]
    changed_at: datetime | None
    changed_by: str
    noted: Said | None
    coming: Sequence[Named]


def owner(request: HttpRequest, roles: list[str]) -> HttpResponse:
    now, person = timezone.now(), request.person
    horses = list(queries.mine(person))
    pks, names = [horse.pk for horse in horses], {horse.pk: horse.name for horse in horses}
    changes: dict[int, list[Wearing]] = defaultdict(list)
    for wearing in queries.changes(pks, now):
        changes[wearing.horse_id].append(wearing)
    lines: dict[int, list[ListLine]] = defaultdict(list)
    for line in queries.noted(pks, now):
        lines[line.horse_id].append(line)
    planned = _by_tag(request.barn, [line for several in lines.values() for line in several])
    context: dict[str, Any] = {
        "roles": roles,
        "horses": [_kept(horse, changes[horse.pk], lines[horse.pk], planned, now) for horse in horses],
        "decisions": [_job(job, names) for job in queries.decisions_of(person)],
        "unsafe": [_job(job, names) for job in queries.unsafe_of(person)],
        "charts": queries.charts_to_read(pks),
        "statements": page_url("money", request.barn.slug),
    }
    return render(request, "inventory/first_owner.html", context)


def _on(wearing: Wearing) -> Named:
    return Named(wearing, answers.named(wearing.blanket))


def _job(job: CareJob, names: Mapping[int, str]) -> Named:
    return Named(job, answers.named(job.blanket), usual=names.get(job.blanket.usual_horse_id or 0, ""))


def _kept(
    horse: Horse, changes: Sequence[Wearing], lines: Sequence[ListLine], planned: Mapping[str, Blanket], now: datetime
) -> Kept:
    events = [(one.on_at, str(one.on_by)) for one in changes]
    events += [(one.off_at, str(one.off_by)) for one in changes if one.off_at]
    at, by = max(events, default=(None, ""))
    noted = sorted((line.done_at, line.pk, line) for line in lines if line.done_at)
    last = noted[-1][-1] if noted else None
    return Kept(
        horse=horse,
        on_now=[_on(one) for one in changes if one.off_at is None],
        changed_at=at,
        changed_by=by,
        noted=Said(last, why_in_words(last.why) if last.why else "") if last else None,
        coming=[
            Named(
                line,
                answers.named_outfit(line.tags_to, planned, neck=line.neck),
                late=line.change_list.due_at < now,
            )
            for line in lines
            if not line.outcome
        ][:2],
    )


def _worn(pks: list[int], now: datetime) -> dict[int, list[Wearing]]:
    worn: dict[int, list[Wearing]] = defaultdict(list)
    for wearing in queries.changes(pks, now):
        if wearing.off_at is None:
            worn[wearing.horse_id].append(wearing)
    return worn
