"""The first page of each role: the right one after sign-in, and what it shows."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse

from barnrugs.barns.journal import Actor
from barnrugs.barns.views.account import first_address
from barnrugs.matching.words import PrecipKind
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.overlay import demo_year
from horses.models import Horse
from inventory.domain import due, lists
from inventory.domain.advice import Conditions
from inventory.models import ListLine
from tests import factories as make
from tests.inventory.lists import line_of, make_list, now

pytestmark = pytest.mark.django_db
HOME = "/barns/home/"
PAGES = {
    "manager": "inventory/first_manager.html",
    "staff": "inventory/due.html",
    "owner": "inventory/first_owner.html",
}


def shown(answer):
    return next(template.name for template in answer.templates if template.name in PAGES.values())


@pytest.mark.parametrize(
    ("who", "page"), [("manager", "manager"), ("staff", "staff"), ("owner", "owner"), ("staff_owner", "staff")]
)
def test_after_signing_in_one_is_on_the_right_page(cast, sign_in, who, page):
    person = getattr(cast, who)
    if who != "manager":  # a manager of a barn that is not set up yet begins at its first steps
        assert first_address(person) == HOME
    assert shown(sign_in(person).get(HOME)) == PAGES[page]


def test_a_person_of_two_roles_turns_to_the_other_page_and_it_is_remembered(cast, sign_in):
    client = sign_in(cast.staff_owner)
    assert b'href="/barns/home/?as=owner"' in client.get(HOME).content
    answer = client.get(HOME, {"as": "owner"})
    assert (answer.status_code, answer.url) == (302, HOME)
    assert shown(client.get(HOME)) == PAGES["owner"]
    client.get(HOME, {"as": "staff"})
    assert shown(client.get(HOME)) == PAGES["staff"]


@pytest.mark.parametrize("asked", ["manager", "king", ""])
def test_nobody_turns_to_the_page_of_a_role_they_do_not_hold(cast, sign_in, asked):
    client = sign_in(cast.staff)
    answer = client.get(HOME, {"as": asked})
    assert shown(answer) == PAGES["staff"]
    assert b"?as=" not in answer.content


def test_the_manager_sees_due_left_gaps_care_and_disputes(cast, sign_in):
    line = line_of(cast)
    lists.mark_not_done(line, why="The horse was not here", actor=Actor(cast.staff))
    gap = line_of(cast, "other_horse")
    ListLine.objects.filter(pk=gap.pk).update(reasons=[{"short": "Dapple goes short: none is left."}])
    against = line_of(cast, "leased_horse")
    ListLine.objects.filter(pk=against.pk).update(
        decided_by="owner", contradiction=[{"kind": "too_cold", "degrees_c": 5, "reason": None}]
    )
    Horse.objects.filter(pk=cast.barn_horse.pk).update(must_be_covered=True)
    page = sign_in(cast.manager).get(HOME)
    assert [(one.line.horse.name, one.words) for one in page.context["left"]] == [("Bramble", "The horse was not here")]
    assert "Dapple goes short: none is left." in [one.short for one in page.context["gaps"]]
    assert [(horse.name, worn) for horse, worn in page.context["covered"]] == [("Fern", [])]
    assert page.context["queues"]["decisions"] == 1
    assert [one.line.horse.name for one in page.context["contradicted"]] == ["Ember"]
    assert "0 done, 1 not done, 4 open" in page.content.decode()
    assert "Their Horse" not in page.content.decode()


def test_what_a_horse_lacks_on_several_lists_stands_once_with_its_reason(cast, sign_in):
    made = {make_list(cast).pk, make_list(cast, ahead=timedelta(hours=24)).pk}
    lines = ListLine.objects.filter(horse=cast.owners_horse)
    lines.update(verdict="", tags_to=[], reasons=[], decided_by="vet")
    page = sign_in(cast.manager).get(HOME)
    said = [one for one in page.context["gaps"] if one.gap.line.horse == cast.owners_horse]
    assert [one.why for one in said] == ["The veterinarian's note decides."]
    assert (len(made), {one.pk for one in said[0].lists}) == (2, made)


def test_a_horse_that_must_be_covered_and_stays_bare_in_rain_is_not_shown_as_right(cast, sign_in):
    made = make_list(cast, Conditions(air_c=4, wind_10m_ms=4, falling=PrecipKind.RAIN))
    Horse.objects.filter(pk=cast.barn_horse.pk).update(must_be_covered=True)
    made.lines.update(verdict="wear", tags_to=[], reasons=[])
    text = sign_in(cast.manager).get(HOME).content.decode()
    assert '<span class="verdict-caution">Stays bare in the rain</span>' in text
    assert "verdict-wear" not in text


def test_the_manager_reads_of_each_list_what_changed_since_it_was_made(cast, sign_in):
    make_list(cast)
    client = sign_in(cast.manager)
    assert "something changed" not in client.get(HOME).content.decode()
    load_year(cast.barn, demo_year(), name="A year")
    assert "something changed: the weather." in client.get(HOME).content.decode()


def test_with_weather_the_managers_page_looks_a_day_ahead(cast, sign_in):
    load_year(cast.barn, demo_year(), name="A year")
    make.StaffedTimeFactory(barn=cast.barn, session="turnout", at="07:00")
    page = sign_in(cast.manager).get(HOME)
    assert len(page.context["lists"]) >= 2


def test_the_manager_reads_what_was_done_otherwise_than_the_owners_chart(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(decided_by="owner")
    lists.mark_other(line, to=[], why="It felt warm under the blanket", actor=Actor(cast.manager))
    page = sign_in(cast.manager).get(HOME)
    assert [one.words for one in page.context["otherwise"]] == ["It felt warm under the blanket"]


def test_an_owner_sees_what_is_on_the_last_change_and_what_needs_them(cast, sign_in):
    line = line_of(cast)
    lists.mark_not_done(line, why="There was no time", actor=Actor(cast.staff))
    decision = make.CareJobFactory(blanket=cast.owners_blanket, kind="repair", payer=cast.owner)
    unsafe = make.CareJobFactory(blanket=cast.worn, kind="repair", do_not_use=True, step="bagged")
    chart = make.ChartFactory(barn=cast.barn, horse=cast.owners_horse, read_again=True)
    page = sign_in(cast.owner).get(HOME)
    assert [one.horse for one in page.context["horses"]] == [cast.owners_horse]
    kept = page.context["horses"][0]
    assert [(worn.what.blanket, worn.words) for worn in kept.on_now] == [(cast.worn, "Turnout, medium 200 g")]
    assert (kept.changed_at, kept.changed_by) == (cast.wearing.on_at, "Staff")
    assert (kept.noted.line.done_by, kept.noted.words) == (cast.staff, "There was no time")
    assert [one.what for one in page.context["decisions"]] == [decision]
    assert [(one.what, one.usual) for one in page.context["unsafe"]] == [(unsafe, "Bramble")]
    assert list(page.context["charts"]) == [chart]
    for name in ("Cinder", "Dapple", "Ember", "Fern", "Their Horse"):
        assert name not in page.content.decode()


def test_an_owner_reads_who_changed_it_and_when(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.owners_blanket.tag])
    client = sign_in(cast.staff)
    client.post(reverse("line_done", args=["home", line.pk]), {"once": str(uuid.uuid4())})
    kept = sign_in(cast.owner).get(HOME).context["horses"][0]
    assert kept.changed_by == "Staff"
    assert now() - kept.changed_at < timedelta(minutes=1)
    assert kept.noted.line.outcome == "done"


def test_a_lessee_sees_the_leased_horse_and_a_former_owner_nothing(cast, sign_in):
    horses = sign_in(cast.lessee).get(HOME).context["horses"]
    assert [one.horse for one in horses] == [cast.leased_horse]


def grow(cast, owner):
    for number in range(3):
        horse = make.HorseFactory(barn=cast.barn, name=f"More {number}", must_be_covered=True)
        make.MeasurementFactory(horse=horse)
        make.HorseOwnerFactory(horse=horse, person=owner)
        blanket = make.BlanketFactory(barn=cast.barn, usual_horse=horse, owner=owner)
        make.WearingFactory(blanket=blanket, horse=horse, on_by=cast.staff)
        make.CareJobFactory(blanket=blanket, kind="repair", do_not_use=True, payer=owner)
        make.ChartFactory(barn=cast.barn, horse=horse, read_again=True)
        line = make.ListLineFactory(change_list=make_list(cast), horse=horse, verdict="no")
        other = make.HorseFactory(barn=cast.barn, name=f"Other {number}")
        done = make.ListLineFactory(change_list=line.change_list, horse=other)
        lists.mark_not_done(done, why="There was no time", actor=Actor(cast.staff))


@pytest.mark.parametrize(("who", "queries"), [("manager", 21), ("owner", 9)])
def test_queries_do_not_grow(cast, sign_in, django_assert_num_queries, who, queries):
    load_year(cast.barn, demo_year(), name="A year")
    due.make_coming(cast.barn, now())
    Horse.objects.filter(pk=cast.owners_horse.pk).update(must_be_covered=True)
    client = sign_in(getattr(cast, who))
    make.ListLineFactory(change_list=make_list(cast), horse=make.HorseFactory(barn=cast.barn), verdict="no")
    with django_assert_num_queries(queries):
        client.get(HOME)
    grow(cast, cast.owner)
    with django_assert_num_queries(queries):
        client.get(HOME)
