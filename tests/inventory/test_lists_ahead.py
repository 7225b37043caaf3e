"""Lists ahead of their time, what is soaked and comes off, and what stands at the head of a list."""

import re
import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.journal import Actor
from barnrugs.weather.models import WeatherHour
from horses.enums import OutPlan
from horses.models import Paddock
from inventory.domain import due, lists, sessions, wearing
from inventory.models import ListLine, Wearing
from inventory.queries import wearings
from tests import factories as make
from tests.cast import NOW
from tests.inventory.lists import COLD

pytestmark = pytest.mark.django_db


@pytest.fixture
def clock(monkeypatch):
    """Sets the hour of the pages: hours after 21:00 of 14 January, a Wednesday, in the barn's own zone."""

    def at(hours=0.0):
        monkeypatch.setattr(timezone, "now", lambda: NOW + timedelta(hours=hours))

    at()
    return at


@pytest.fixture
def turnout(cast, clock):
    """The list of 07:00 on Thursday, made the evening before."""
    make.StaffedTimeFactory(barn=cast.barn, session="turnout", at="07:00")
    at_hand, ahead = sessions.coming(cast.barn, NOW)[:2]
    assert (at_hand.session, ahead.session) == ("night_check", "turnout")
    return lists.ensure(cast.barn, ahead, at=NOW, conditions=COLD)


def page_of(made, name="change_list", *more):
    return reverse(name, args=["home", made.day.isoformat(), made.session, *more])


def of_line(line, name="line"):
    return reverse(name, args=["home", line.pk])


def line_of(made, horse, **more):
    ListLine.objects.filter(change_list=made, horse=horse).update(**more)
    return ListLine.objects.get(change_list=made, horse=horse)


def card(text, line):
    return text.split(f'id="line-{line.pk}"')[1].split("</li>")[0]


SAYS = "This list is for Thu 07:00. Done here means that it was done now."
ASKS = "This is for Thu 07:00. Do it now?"


def test_a_list_ahead_says_so_and_asks_before_each_done(cast, sign_in, turnout, clock):
    client, line = sign_in(cast.staff), line_of(turnout, cast.owners_horse, tags_to=["WRN22"])
    place = next(one.key for one, found in due.places(list(turnout.lines.all()), {}).items() if line in found)
    pages = [client.get(url).content.decode() for url in (page_of(turnout), of_line(line))]
    for text in (*pages, client.get(page_of(turnout, "list_here", place)).content.decode()):
        assert text.count(SAYS) == 1
    for text in (card(pages[0], line), pages[1]):
        inside = re.search(r'<details class="early">(.*?)</details>', text, re.DOTALL).group(1)
        assert ASKS in inside
        assert f'action="{of_line(line, "line_done")}"' in inside
        assert text.count(of_line(line, "line_done")) == inside.count(of_line(line, "line_done"))
    clock(8)
    for text in (client.get(page_of(turnout)).content.decode(), client.get(of_line(line)).content.decode()):
        assert "This list is for" not in text
        assert "early" not in text
        assert of_line(line, "line_done") in text


def test_a_list_ahead_on_the_same_day_says_the_time_alone(cast, sign_in, turnout, clock):
    clock(3.5)
    assert "This list is for 07:00." in sign_in(cast.staff).get(page_of(turnout)).content.decode()


def test_what_is_confirmed_early_is_done(cast, sign_in, turnout):
    line = line_of(turnout, cast.owners_horse, tags_to=["WRN22"])
    data = {"once": str(uuid.uuid4()), "shown": lists.as_shown(line)}
    assert sign_in(cast.staff).post(of_line(line, "line_done"), data).status_code == 302
    line.refresh_from_db()
    assert line.outcome == "done"


def test_of_two_turns_with_one_name_the_one_of_another_day_says_which(cast, sign_in, turnout, clock):
    clock(11)
    text = sign_in(cast.staff).get(reverse("due", args=["home"])).content.decode()
    labels = re.findall(r"<li><a [^>]*>([^<]*)</a></li>", text.split('class="turns"')[1].split("</nav>")[0])
    assert [" ".join(label.split()) for label in labels] == ["Night check 21:00", "Turnout Fri 07:00"]


# Soaked and off


@pytest.fixture
def soaked(cast, turnout, clock):
    """At 07:00 Bramble stands in a soaked blanket that is to come off."""
    clock(10)
    wearing.mark_soaked(cast.wearing, actor=Actor(cast.staff))
    return line_of(turnout, cast.owners_horse, tags_to=[], reasons=[])


RUB = "WRN22 comes off soaked: rub the horse down, and say where it hangs to dry."


def test_the_line_of_a_soaked_one_must_say_where_it_hangs(cast, sign_in, soaked):
    make.PlacingFactory(blanket=cast.owners_blanket, kind="drying", place="Loft", since=NOW, until=NOW)
    client = sign_in(cast.staff)
    text = client.get(of_line(soaked)).content.decode()
    assert RUB in text
    assert "<span>Nothing came off wet</span>" not in text
    assert re.findall(r'name="place" value="Loft" id="hangs-1"( checked)?', text) == [""]
    answer = client.post(of_line(soaked, "line_done"), {"once": str(uuid.uuid4()), "wet": "on", "place": ["", ""]})
    assert answer.context["form"].errors["place"] == ["Say where it hangs, so that somebody finds it."]
    client.post(of_line(soaked, "line_done"), {"once": str(uuid.uuid4()), "wet": "on", "place": ["Loft", ""]})
    placing = cast.worn.placings.get(until=None)
    assert (placing.kind, placing.place, placing.soaked) == ("drying", "Loft", True)


def test_on_the_list_done_of_a_soaked_one_leads_to_its_line(cast, sign_in, soaked):
    client = sign_in(cast.staff)
    text = card(client.get(page_of(soaked.change_list)).content.decode(), soaked)
    assert of_line(soaked, "line_done") not in text
    assert f'<a class="btn btn-field" href="{of_line(soaked)}">' in text
    data = {"once": str(uuid.uuid4()), "shown": "-"}
    tapped = client.post(of_line(soaked, "line_done"), data, headers={"HX-Request": "true"})
    assert tapped.status_code == 422
    assert RUB in tapped.content.decode()
    assert wearings.open_of(cast.worn)


def test_other_instead_of_a_soaked_one_must_say_where_it_hangs_too(cast, sign_in, soaked):
    make.PlacingFactory(blanket=cast.owners_liner, kind="drying", place="Loft", since=NOW, until=NOW)
    client, url = sign_in(cast.staff), of_line(soaked, "line_other")
    text = client.get(url).content.decode()
    assert "WRN22 comes off soaked" in text
    assert "<span>Nothing came off wet</span>" not in text
    data = {"instead": "by_tag", "tags": "WNR33", "more": "Dry one"}
    answer = client.post(url, {"once": str(uuid.uuid4()), **data})
    assert answer.context["form"].errors["place"] == [RUB]
    assert client.post(url, {"once": str(uuid.uuid4()), **data, "place": "Loft"}).status_code == 302
    assert cast.worn.placings.get(until=None).place == "Loft"


def test_all_done_here_leaves_a_soaked_one_open(cast, sign_in, soaked):
    made, shown = soaked.change_list, {soaked.pk: lists.as_shown(soaked)}
    assert lists.mark_rest_done(made, shown=shown, actor=Actor(cast.staff)) == ([], [(soaked, RUB)])


def test_all_done_here_offers_only_what_one_tap_can_do(cast, sign_in, soaked):
    here = next(one.key for one, lines in due.places([soaked], {}).items() if lines)
    page = sign_in(cast.staff).get(page_of(soaked.change_list, "list_here", here))
    assert (soaked.pk in {row.line.pk for row in page.context["rows"]}, RUB in page.content.decode()) == (False, True)
    assert f'href="{of_line(soaked)}"' in page.content.decode()


def test_a_late_note_of_a_phone_is_taken_without_the_place(cast, soaked):
    lists.mark_done(soaked, actor=Actor(cast.staff))
    assert cast.worn.placings.get(until=None).soaked


def test_what_stays_on_though_soaked_asks_for_no_place(cast, sign_in, soaked):
    line = line_of(soaked.change_list, cast.owners_horse, tags_to=["WRN22"])
    assert RUB not in sign_in(cast.staff).get(of_line(line)).content.decode()


# Counted, and at the head


@pytest.mark.parametrize(
    ("fell_mm", "words"),
    [
        ((None, 1.0, 0.0), ("WRN22: 1 hour out in rain since", "Of 1 hour nobody knows.")),
        ((None, None, 1.0, 1.0, 1.0), ("WRN22: 3 hours out in rain since", "Of 2 hours nobody knows.")),
    ],
)
def test_one_hour_is_one_hour(cast, sign_in, turnout, fell_mm, words):
    """Out day and night; what fell in the hours before 21:00, the last one last."""
    source = make.WeatherSourceFactory(barn=cast.barn)
    for ago in range(48):
        fell = fell_mm[-ago] if 1 <= ago <= len(fell_mm) else 0.0
        begins = datetime(2000, 1, 15, NOW.astimezone(UTC).hour, tzinfo=UTC) - timedelta(hours=ago)
        WeatherHour.objects.create(source=source, time=begins, air_c=3, wind_10m_ms=2, rh=0.9, precip_mm=fell)
    Paddock.objects.filter(pk=cast.paddock.pk).update(out_plan=OutPlan.ALWAYS)
    Wearing.objects.filter(pk=cast.wearing.pk).update(on_at=NOW - timedelta(hours=8))
    text = sign_in(cast.staff).get(of_line(line_of(turnout, cast.owners_horse))).content.decode()
    assert [one in text for one in words] == [True, True]


def test_wet_and_drying_and_the_note_are_at_the_head_too(cast, sign_in, turnout):
    for who, times in (("staff", 1), ("owner", 0)):
        head = sign_in(getattr(cast, who)).get(page_of(turnout)).content.decode().split('<ol class="rows"')[0]
        main = head.split("<main")[1]
        assert main.count(f'href="{reverse("drying", args=["home"])}"') == times
        assert main.count(f'href="{page_of(turnout, "list_note")}"') == times


def test_what_is_not_to_be_had_yet_is_not_done_early(cast, sign_in, turnout):
    """Done would be refused now, and from a phone it would become a question to the manager."""
    line = line_of(turnout, cast.other_horse, tags_to=["WRN22"])
    client = sign_in(cast.staff)
    for text in (card(client.get(page_of(turnout)).content.decode(), line), client.get(of_line(line)).content.decode()):
        assert "It cannot be put on yet: come back at that time." in text
        assert of_line(line, "line_done") not in text
        assert of_line(line, "line_not_done") in text
