"""Due now: the list at hand, worked off by taps, with what changed since it was made; its size and its queries."""

import gzip
import re
import uuid
from datetime import timedelta
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.urls import reverse
from django.utils.html import escape

from barnrugs.barns.models import JournalEntry
from barnrugs.barns.models.barn import HouseModel, Units
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.overlay import demo_year
from horses.models import Horse
from inventory.domain import due, lists, sessions, wearing
from inventory.models import ChangeList, ListLine
from inventory.queries import wearings
from inventory.views import list_rows
from tests import factories as make
from tests.cast import NOW
from tests.inventory.lists import COLD, line_of, make_list, now
from tests.writes import Write, six_tests

pytestmark = pytest.mark.django_db
FIRST_LOAD_KB = 110


def keeping(cast):
    """A line that asks for no change, so that doing it is one entry of the journal."""
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=line.tags_from, neck=line.neck_from)
    return line.pk


def left(cast):
    line = line_of(cast)
    return line.pk if line.outcome else lists.mark_not_done(line, why="No time", actor=_actor(cast.staff)).pk


def _actor(person):
    from barnrugs.barns.journal import Actor

    return Actor(person)


TestLineWrites = six_tests(
    [
        Write("line_done", "line_done", by="staff", parts={"pk": keeping}, bad={"wet": "on"}, at="place", others=404),
        Write(
            "line_other",
            "line_done_otherwise",
            by="staff",
            parts={"pk": lambda cast: line_of(cast, "barn_horse").pk},
            data={"instead": "|", "more": "Sunny and calm"},
            bad={"more": ""},
            at="reason",
            others=404,
        ),
        Write(
            "line_not_done",
            "line_not_done",
            by="staff",
            parts={"pk": lambda cast: line_of(cast).pk},
            data={"reason": "There was no time"},
            bad={"reason": "lazy"},
            at="reason",
            others=404,
        ),
        Write("line_take_back", "line_taken_back", by="staff", parts={"pk": left}, others=404),
    ]
)


def at(name, made, *more):
    return reverse(name, args=[made.barn.slug, made.day.isoformat(), made.session, *more])


def of_line(name, line):
    return reverse(name, args=[line.barn.slug, line.pk])


def send(client, url, **data):
    return client.post(url, {"once": str(uuid.uuid4()), **data})


def here(cast):
    return f"paddock-{cast.paddock.pk}"


LIST_WRITES = [
    ("list_note", {"note": "Gate is broken"}, {"note": "x" * 301}, "list_note_written"),
    ("list_anew", {"air": "20", "wind": "windy"}, {"air": "warm"}, "list_conditions_entered"),
    ("list_here", {}, {"but": "999999"}, None),
]


@pytest.mark.parametrize(("name", "data", "bad", "action"), LIST_WRITES, ids=[one[0] for one in LIST_WRITES])
class TestListWrites:
    """The six tests of every write, for addresses that name a day and a staffed time and not a record."""

    def url(self, cast, name, slug=""):
        made = make_list(cast)
        for line in made.lines.all():
            ListLine.objects.filter(pk=line.pk).update(tags_to=line.tags_from, neck=line.neck_from)
        more = [here(cast)] if name == "list_here" else []
        return reverse(name, args=[slug or cast.barn.slug, made.day.isoformat(), made.session, *more])

    def test_it_works(self, cast, sign_in, name, data, bad, action):
        answer = send(sign_in(cast.staff), self.url(cast, name), **data)
        assert answer.status_code == 302
        entries = JournalEntry.objects.filter(person_key=cast.staff.key)
        if action:
            assert entries.latest("pk").action == action
        else:
            lines = make_list(cast).lines
            assert entries.filter(action="line_done").count() == lines.filter(outcome="done").count() == lines.count()

    def test_a_bad_form_says_why(self, cast, sign_in, name, data, bad, action):
        url, before = self.url(cast, name), JournalEntry.objects.count()
        answer = send(sign_in(cast.staff), url, **bad)
        assert answer.status_code == 200
        assert list(answer.context["form"].errors) == list(bad)
        assert b"warn" in answer.content or b"invalid" in answer.content
        assert JournalEntry.objects.count() == before

    def test_not_without_signing_in(self, cast, sign_in, name, data, bad, action):
        url, before = self.url(cast, name), JournalEntry.objects.count()
        assert send(sign_in(None), url, **data).url.startswith("/account/login")
        assert JournalEntry.objects.count() == before

    def test_not_by_an_owner(self, cast, sign_in, name, data, bad, action):
        url, before = self.url(cast, name), JournalEntry.objects.count()
        assert send(sign_in(cast.other_owner), url, **data).status_code == 403
        assert JournalEntry.objects.count() == before

    def test_not_from_another_barn(self, cast, sign_in, name, data, bad, action):
        url, there = self.url(cast, name), self.url(cast, name, cast.other.barn.slug)
        lines = list(ListLine.objects.filter(barn=cast.barn).values())
        stranger = sign_in(cast.stranger)
        assert send(stranger, url, **data).status_code == 404
        send(stranger, there, **data)
        assert list(ListLine.objects.filter(barn=cast.barn).values()) == lines
        assert set(ListLine.objects.filter(barn=cast.other.barn).values_list("horse__barn", flat=True)) <= {
            cast.other.barn.pk
        }

    def test_sent_again_it_happens_once(self, cast, sign_in, name, data, bad, action):
        url, once, client = self.url(cast, name), str(uuid.uuid4()), sign_in(cast.staff)
        first = client.post(url, {"once": once, **data})
        after = JournalEntry.objects.count()
        second = client.post(url, {"once": once, **data})
        assert (first.status_code, first.url) == (second.status_code, second.url)
        assert JournalEntry.objects.count() == after


def test_without_weather_the_page_asks_for_three_fields_and_makes_the_list(cast, sign_in):
    client = sign_in(cast.staff)
    url = reverse("due", args=[cast.barn.slug])
    answer = client.get(url)
    assert b"no weather file" in answer.content
    assert all(f'name="{field}"'.encode() in answer.content for field in ("air", "wind", "falling"))
    slot = answer.context["slot"]
    made = reverse("list_anew", args=[cast.barn.slug, slot.day.isoformat(), slot.session])
    assert send(client, made, air="14", wind="breezy", falling="snow").status_code == 302
    assert JournalEntry.objects.latest("pk").action == "list_conditions_entered"
    hours = lists.hours_of(ChangeList.objects.get(barn=cast.barn))
    assert {(round(hour.air_c), hour.wind_10m_ms, hour.precip_kind) for hour in hours} == {(-10, 4.0, "snow")}
    assert len(client.get(url).context["rows"]) == Horse.objects.filter(barn=cast.barn).count()


def test_conditions_entered_for_a_list_that_is_there_are_written_down_beside_its_advising_again(cast, sign_in):
    made = make_list(cast)
    before = JournalEntry.objects.latest("pk").pk
    url = reverse("list_anew", args=[cast.barn.slug, made.day.isoformat(), made.session])
    assert send(sign_in(cast.staff), url, air="20", wind="windy").status_code == 302
    entries = JournalEntry.objects.filter(pk__gt=before).order_by("pk")
    assert [(entry.action, entry.after) for entry in entries] == [
        ("list_made_anew", {"list": str(made)}),
        ("list_conditions_entered", {"list": str(made)}),
    ]


def test_with_a_weather_file_the_first_view_makes_the_list(cast, sign_in):
    load_year(cast.barn, demo_year(), name="A year")
    answer = sign_in(cast.staff).get(reverse("due", args=[cast.barn.slug]))
    assert [row.horse.name for row in answer.context["rows"]] == ["Bramble", "Cinder", "Dapple", "Ember", "Fern"]
    assert b"0 done, 0 not done, 5 open" in answer.content


def test_two_first_views_make_one_list(cast):
    """Both looked before either wrote: the constraint decides, and the second gets the first's."""
    slot = sessions.at_hand(cast.barn, NOW)
    first = lists._make(cast.barn, slot, NOW, COLD)
    assert lists._make(cast.barn, slot, NOW, COLD) == first
    assert ListLine.objects.filter(change_list=first).count() == Horse.objects.filter(barn=cast.barn).count()


def test_an_owner_sees_the_lines_of_their_own_horses_and_no_buttons(cast, sign_in):
    make_list(cast)
    answer = sign_in(cast.owner).get(reverse("due", args=[cast.barn.slug]))
    assert [row.horse.name for row in answer.context["rows"]] == ["Bramble"]
    assert b"/done/" not in answer.content


def test_horses_away_or_laid_up_are_left_out(cast, sign_in):
    make_list(cast)
    Horse.objects.filter(pk=cast.owners_horse.pk).update(presence="away")
    answer = sign_in(cast.staff).get(reverse("due", args=[cast.barn.slug]))
    assert "Bramble" not in [row.horse.name for row in answer.context["rows"]]
    assert b"0 done, 0 not done, 4 open" in answer.content


def changing(cast):
    return next(line for line in make_list(cast).lines.all() if line.tags_to and line.tags_to != line.tags_from)


def row_of(cast, sign_in, line):
    answer = sign_in(cast.staff).get(reverse("due", args=[cast.barn.slug]))
    return next(row for row in answer.context["rows"] if row.line == line)


def test_done_with_htmx_answers_that_line_and_the_progress(cast, sign_in):
    line = changing(cast)
    answer = sign_in(cast.staff).post(
        of_line("line_done", line), {"once": str(uuid.uuid4())}, headers={"HX-Request": "true"}
    )
    text = answer.content.decode()
    assert answer.status_code == 200
    assert text.count("<li") == 1
    assert f'id="line-{line.pk}"' in text
    assert "Take back" in text
    assert "1 done, 0 not done, 4 open" in text
    assert [worn.blanket.tag for worn in wearings.open_on(line.horse)] == line.tags_to


@pytest.mark.parametrize("says", ["no_advice", "nothing", ""])
def test_the_veterinarians_words_stand_wherever_the_horse_does(cast, sign_in, says):
    words = "Call me before anything is changed"
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_says=says, vet_note=words)
    made, client = make_list(cast), sign_in(cast.staff)
    pages = [
        client.get(url) for url in (at("change_list", made), at("list_paper", made), of_line("line", line_of(cast)))
    ]
    assert [page.content.decode().count(words) for page in pages] == [1, 1, 1]
    assert bool(pages[-1].context["if_so"]) is bool(pages[-1].context["if_wet"]) is (says != "no_advice")
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_until=now().date() - timedelta(days=2))
    assert client.get(at("list_paper", made)).content.decode().count(words) == 0


def test_what_is_marked_do_not_use_is_said_on_a_done_card_and_beside_where_it_may_go(cast, sign_in):
    line, client = line_of(cast), sign_in(cast.staff)
    ListLine.objects.filter(pk=line.pk).update(tags_to=line.tags_from, neck=line.neck_from)
    lists.mark_done(line_of(cast), actor=_actor(cast.staff))
    make.CareJobFactory(barn=cast.barn, blanket=cast.worn, do_not_use=True)
    warning = f"{cast.worn.tag} on it is marked do not use: take it off."
    assert warning in client.get(reverse("due", args=[cast.barn.slug])).content.decode()
    for url in (of_line("line", line), reverse("blanket", args=[cast.barn.slug, cast.worn.pk])):
        assert "Not now: it is marked do not use." in client.get(url).content.decode()


def off_now(client, cast):
    return [one.horse for one in client.get(reverse("due", args=[cast.barn.slug])).context["must_come_off"]]


def test_what_must_come_off_is_on_the_staffs_first_page_before_there_is_weather(cast, sign_in):
    make.CareJobFactory(barn=cast.barn, blanket=cast.worn, do_not_use=True)
    client = sign_in(cast.staff)
    text = client.get(reverse("due", args=[cast.barn.slug])).content.decode()
    assert "Marked do not use while the horse has it on: take it off." in text
    assert off_now(client, cast) == [cast.owners_horse]
    assert off_now(sign_in(cast.other_owner), cast) == []


def test_what_must_come_off_a_horse_that_is_on_no_list_stands_above_it(cast, sign_in):
    make.CareJobFactory(barn=cast.barn, blanket=cast.worn, do_not_use=True)
    made, client = make_list(cast), sign_in(cast.staff)
    assert off_now(client, cast) == []
    Horse.objects.filter(pk=cast.owners_horse.pk).update(presence="laid_up")
    assert off_now(client, cast) == [cast.owners_horse]
    wearing.take_off(cast.wearing, actor=_actor(cast.staff))
    assert off_now(client, cast) == []
    assert made.lines.filter(horse=cast.owners_horse).exists()


def test_what_was_left_is_not_counted_as_done(cast, sign_in):
    line = changing(cast)
    lists.mark_done(line, actor=_actor(cast.staff))
    other = make_list(cast).lines.filter(outcome="").first()
    lists.mark_not_done(other, why="No time", actor=_actor(cast.staff))
    text = sign_in(cast.staff).get(reverse("due", args=[cast.barn.slug])).content.decode()
    assert "1 done, 1 not done, 3 open" in text


def test_the_second_to_tap_reads_who_was_first_on_the_line(cast, sign_in, act):
    line = changing(cast)
    lists.mark_done(line, actor=_actor(cast.manager))
    url, data = of_line("line_done", line), {"once": str(uuid.uuid4())}
    answer = sign_in(cast.staff).post(url, data, headers={"HX-Request": "true"})
    assert answer.status_code == 422
    assert "Manager noted “Done” for" in answer.content.decode()
    plain = sign_in(cast.staff).post(url, data)
    assert "Manager noted “Done” for" in plain.content.decode()


def test_what_came_off_wet_hangs_at_its_place(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[])
    send(sign_in(cast.staff), of_line("line_done", line), wet="on", place="Boiler room")
    assert cast.worn.placings.get(until=None).place == "Boiler room"
    send(sign_in(cast.staff), of_line("line_take_back", line))
    assert [worn.blanket for worn in wearings.open_on(cast.owners_horse)] == [cast.worn]


@pytest.mark.parametrize(
    ("sent", "hangs"),
    [
        (["Loft", "Boiler room"], "Boiler room"),
        (["Loft", ""], "Loft"),
        ([" ", "Boiler room"], "Boiler room"),
        (["Boiler room"], "Boiler room"),
        (["", ""], ""),
    ],
)
def test_what_is_typed_counts_before_what_is_tapped_and_neither_is_dry(cast, sign_in, sent, hangs):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[])
    url, data = of_line("line_done", line), {"once": str(uuid.uuid4()), "place": sent}
    assert sign_in(cast.staff).post(url, data).status_code == 302
    placing = cast.worn.placings.filter(until=None, kind="drying").first()
    assert (placing.place if placing else "") == hangs


@pytest.mark.parametrize(
    ("sent", "said"), [(["", "Boiler <room>"], "Which of the two?"), ([" ", ""], "Say where it hangs")]
)
def test_a_place_that_contradicts_its_button_is_questioned_and_stays_typed(cast, sign_in, sent, said):
    ended = {"since": now() - timedelta(days=9), "until": now() - timedelta(days=8)}
    make.PlacingFactory(blanket=cast.owners_blanket, kind="drying", place="Loft", **ended)
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[])
    answer = sign_in(cast.staff).post(of_line("line_done", line), {"once": str(uuid.uuid4()), "place": sent})
    assert answer.status_code == 200
    assert said in answer.context["form"].errors["place"][0]
    assert f'name="place" value="{escape(sent[1])}"' in answer.text
    line.refresh_from_db()
    assert (line.outcome, cast.worn.placings.filter(until=None, kind="drying").exists()) == ("", False)


def test_what_was_found_soaked_does_not_go_on_its_rack_dry(cast, sign_in):
    wearing.mark_soaked(cast.wearing, actor=_actor(cast.staff))
    line = line_of(cast)
    assert cast.worn.tag not in line.tags_to
    send(sign_in(cast.staff), of_line("line_done", line), place="Loft")
    assert cast.worn.placings.get(until=None).soaked
    send(sign_in(cast.staff), of_line("line_take_back", line))
    assert wearings.open_of(cast.worn).soaked_at


def test_take_back_puts_on_what_it_really_wore_and_not_what_the_list_expected(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.worn.tag])
    wearing.change(cast.owners_horse, to=[cast.owners_blanket], actor=_actor(cast.manager))
    client = sign_in(cast.staff)
    send(client, of_line("line_done", line))
    send(client, of_line("line_take_back", line))
    assert [worn.blanket for worn in wearings.open_on(cast.owners_horse)] == [cast.owners_blanket]


def test_a_horse_that_wears_something_else_since_is_marked(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.worn.tag])
    assert row_of(cast, sign_in, line).changed == ()
    wearing.change(cast.owners_horse, to=[cast.owners_liner], actor=_actor(cast.manager))
    assert row_of(cast, sign_in, line).changed == ("It wears LNR44 now, not WRN22 as when the list was made.",)


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda blanket, cast: make.CareJobFactory(blanket=blanket, do_not_use=True), "it is marked do not use"),
        (lambda blanket, cast: make.WearingFactory(blanket=blanket, horse=cast.barn_horse), "it is on Fern"),
        (lambda blanket, cast: make.PlacingFactory(blanket=blanket, kind="drying", since=now()), "it is wet"),
        (lambda blanket, cast: make.PlacingFactory(blanket=blanket, kind="home"), "it is at its owner's home"),
    ],
    ids=["do not use", "on another", "wet", "away"],
)
def test_a_blanket_that_cannot_be_used_any_more_is_marked(cast, sign_in, spoil, words):
    line = line_of(cast, "staff_owners_horse")
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.staff_owners_blanket.tag])
    assert row_of(cast, sign_in, line).changed == ()
    spoil(cast.staff_owners_blanket, cast)
    assert row_of(cast, sign_in, line).changed == (f"STF66 cannot be used any more: {words}.",)


def test_newer_weather_is_marked_until_the_list_is_advised_again(cast, sign_in):
    make_list(cast)
    load_year(cast.barn, demo_year(), name="A year")
    client, url = sign_in(cast.staff), reverse("due", args=[cast.barn.slug])
    answer = client.get(url)
    assert answer.context["since"] == ["the weather"]
    text = answer.content.decode()
    assert "something changed: the weather." in text
    once = re.search(r'id="since".*?name="once" value="([^"]+)"', text, re.DOTALL).group(1)
    client.post(at("list_anew", make_list(cast)), {"once": once})
    assert client.get(url).context["since"] == []
    make_list(cast).refresh_from_db()
    assert make_list(cast).weather["source"] == "A year"


def test_warnings_stand_on_the_line_in_words(cast, sign_in):
    Horse.objects.filter(pk=cast.owners_horse.pk).update(
        two_people=True, handling_note="Kicks at the girth", vet_note="Hay before work"
    )
    cast.owners_blanket.front = "closed"
    cast.owners_blanket.save()
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.owners_blanket.tag])
    make.CareJobFactory(blanket=cast.worn, do_not_use=True)
    warnings = row_of(cast, sign_in, line).warnings
    for words in (
        "WRN22 on it is marked do not use: take it off.",
        "Veterinarian's note: Hay before work",
        "Needs two people.",
        "Kicks at the girth",
        "WNR33 goes on over the head.",
    ):
        assert words in warnings


def test_who_decides_and_what_speaks_against_it(cast, sign_in):
    make.ChartRowFactory(chart=make.ChartFactory(barn=cast.barn, horse=cast.owners_horse), tags=cast.other_blanket.tag)
    row = row_of(cast, sign_in, line_of(cast))
    assert row.decides == "The owner's chart decides"
    assert row.against == ("What it asks for is not to be had here now; this is the next best.",)


@pytest.mark.parametrize(
    ("override", "model", "who", "status"),
    [
        ("nobody", HouseModel.STAFF_ADJUST, "manager", 200),
        ("manager", HouseModel.STAFF_ADJUST, "staff", 200),
        ("manager", HouseModel.STAFF_ADJUST, "manager", 302),
        ("staff", HouseModel.STAFF_ADJUST, "staff", 302),
        ("staff", HouseModel.CHARTS_OBEYED, "staff", 200),
        ("staff", HouseModel.CHARTS_OBEYED, "manager", 302),
    ],
)
def test_a_chart_says_who_may_do_otherwise(cast, sign_in, override, model, who, status):
    cast.barn.house_model = model
    cast.barn.save(update_fields=["house_model"])
    chart = make.ChartFactory(barn=cast.barn, horse=cast.owners_horse, override=override)
    make.ChartRowFactory(chart=chart, tags=cast.owners_blanket.tag)
    line = line_of(cast)
    assert (line.decided_by, line.tags_to) == ("owner", [cast.owners_blanket.tag])
    url = of_line("line_other", line)
    answer = send(sign_in(getattr(cast, who)), url, instead="|", more="It is sunny")
    assert answer.status_code == status
    assert bool(wearings.open_on(line.horse)) == (status == 200)
    if status == 200:
        assert "may do otherwise" in answer.content.decode()


def test_where_the_decision_cannot_be_carried_out_whoever_is_there_may_choose(cast, sign_in):
    chart = make.ChartFactory(barn=cast.barn, horse=cast.owners_horse, override="nobody")
    make.ChartRowFactory(chart=chart, tags=cast.other_blanket.tag)
    answer = send(sign_in(cast.staff), of_line("line_other", line_of(cast)), instead="|", more="It is not here")
    assert answer.status_code == 302


def test_other_offers_the_next_best_and_nothing_that_is_refused(cast, sign_in):
    line = line_of(cast)
    offered = sign_in(cast.staff).get(of_line("line_other", line)).context["offered"]
    assert offered[-1].value == "|" or "|" in {one.value for one in offered}
    assert all(one.shown is None or not one.shown.refused for one in offered)
    assert all(set(one.value.split("|")[0].split()) != set(line.tags_to) for one in offered)


def test_other_by_its_tag(cast, sign_in):
    line, client = line_of(cast), sign_in(cast.staff)
    url = of_line("line_other", line)
    bad = send(client, url, instead="by_tag", tags="NOPE1", more="Felt right")
    assert list(bad.context["form"].errors) == ["tags"]
    assert send(client, url, instead="by_tag", tags="wnr33", more="Felt right").status_code == 302
    assert [worn.blanket for worn in wearings.open_on(cast.owners_horse)] == [cast.owners_blanket]


def test_all_done_here_except(cast, sign_in):
    made = make_list(cast)
    but = line_of(cast)
    other = make.HorseFactory(barn=cast.barn, name="Elsewhere", stall="C3")
    send(sign_in(cast.staff), at("list_anew", made), air="20")
    assert send(sign_in(cast.staff), at("list_here", made, here(cast)), but=str(but.pk)).status_code == 302
    still_open = set(made.lines.filter(outcome="").values_list("horse", flat=True))
    assert still_open == {cast.owners_horse.pk, other.pk}
    page = sign_in(cast.staff).get(at("list_here", made, "aisle-C"))
    assert [row.horse for row in page.context["rows"]] == [other]


def test_what_cannot_be_done_stays_open_and_is_said(cast, sign_in):
    line = line_of(cast, "staff_owners_horse")
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.staff_owners_blanket.tag])
    make.CareJobFactory(blanket=cast.staff_owners_blanket, do_not_use=True)
    client = sign_in(cast.staff)
    client.post(at("list_here", make_list(cast), here(cast)), {"once": str(uuid.uuid4())})
    page = client.get(reverse("due", args=[cast.barn.slug])).content.decode()
    assert "Cinder is still open: STF66 cannot be put on now, it is marked do not use: take another with Other." in page


def test_what_stays_on_and_must_come_off_is_not_done_with_the_rest(cast, sign_in):
    """Nothing would be put on, so nothing would be refused."""
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=line.tags_from, neck=line.neck_from)
    make.CareJobFactory(blanket=cast.worn, do_not_use=True)
    sign_in(cast.manager).post(at("list_here", make_list(cast), here(cast)), {"once": str(uuid.uuid4())})
    assert line_of(cast).outcome == ""


def test_the_next_shift_reads_the_note(cast, sign_in):
    make.StaffedTimeFactory(barn=cast.barn, session="turnout", at="07:00")
    coming = sessions.coming(cast.barn, now())
    first, second = (lists.ensure(cast.barn, slot, at=now(), conditions=COLD) for slot in coming[:2])
    client = sign_in(cast.staff)
    send(client, at("list_note", first), note="Cinder's gate does not close")
    page = client.get(at("change_list", second)).content.decode()
    assert "Note from the shift before (Staff):" in page
    assert "Cinder&#x27;s gate does not close" in page


def test_a_reason_that_was_picked_is_said_in_the_readers_language(cast, sign_in):
    line = line_of(cast)
    send(sign_in(cast.staff), of_line("line_not_done", line), reason="The horse was not here", more="on a trail ride")
    line.refresh_from_db()
    assert line.why == "The horse was not here: on a trail ride"
    assert row_of(cast, sign_in, line).outcome_why == line.why


def test_figures_are_in_the_barns_units_and_zone(cast, sign_in):
    cast.barn.units = Units.US
    cast.barn.save(update_fields=["units"])
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(
        reasons=[
            {"code": "off_at", "off_time": "2026-01-15T21:00:00Z", "limit_deg": 3, "warm_times": [], "by_deg": 5},
            {"code": "right_at", "low_c": -10, "high_c": 0, "air_c": -5},
        ],
        contradiction=[{"kind": "too_cold", "degrees_c": 5, "reason": None}],
    )
    row = row_of(cast, sign_in, line)
    assert row.warnings[-1].startswith("Off at 12:00: more than 5 °F too warm")
    assert row.why == ("Comfortable from 14 °F to 32 °F, and the air is at 23 °F.",)
    assert row.against == ("Computed otherwise: it is too cold by up to 9\N{NO-BREAK SPACE}°F.",)


@pytest.mark.parametrize(
    ("day", "session"),
    [("2026-13-01", "turnout"), ("tomorrow", "night_check"), ("2020-01-01", "night_check"), (None, "lunch")],
)
def test_an_address_that_names_no_staffed_time_near_is_not_found(cast, sign_in, day, session):
    made = make_list(cast)
    url = reverse("change_list", args=[cast.barn.slug, day or made.day.isoformat(), session])
    assert sign_in(cast.staff).get(url).status_code == 404


def test_more_answers_what_one_asks_at_the_stall_door(cast, sign_in):
    make.BlanketFactory(barn=cast.barn, tag="CLR99", owner=cast.owner, usual_horse=cast.owners_horse, kind="cooler")
    page = sign_in(cast.staff).get(of_line("line", line_of(cast)))
    assert [one.blanket.tag for one in page.context["own"]] == ["LNR44", "CLR99", "WRN22", "WNR33"]
    assert [layer.tag for layer in page.context["if_wet"]["first"]] == ["CLR99"]
    assert len(page.context["if_so"]) == 2
    text = page.content.decode()
    assert "May go outside, in rain too." in text
    assert "medium, 200 g" in text


def crowd(cast, count):
    """Horses with two blankets each, all in one paddock."""
    for number in range(count):
        horse = make.HorseFactory(barn=cast.barn, name=f"Horse {number}", stall=f"B{number}", walk_order=number + 1)
        make.MeasurementFactory(horse=horse)
        make.PaddockStayFactory(horse=horse, paddock=cast.paddock)
        for fill in (100, 300):
            blanket = make.BlanketFactory(
                barn=cast.barn, usual_horse=horse, owner=cast.owner, fill_g=fill, rack="Rack 4"
            )
            make.PictureFactory(blanket=blanket)


def test_queries_do_not_grow_with_the_horses(cast, sign_in, django_assert_num_queries):
    made = make_list(cast)
    client, url = sign_in(cast.staff), reverse("due", args=[cast.barn.slug])
    client.get(url)
    with django_assert_num_queries(QUERIES):
        client.get(url)
    crowd(cast, 4)
    lists.make_anew(made, actor=_actor(cast.staff), at=now(), conditions=COLD)
    with django_assert_num_queries(QUERIES):
        assert len(client.get(url).context["rows"]) == 9


QUERIES = 19


def test_the_first_load_for_sixty_horses_is_small(cast, sign_in):
    """Page, styles and script as they are sent, compressed, without pictures."""
    crowd(cast, 55)
    make_list(cast)
    answer = sign_in(cast.staff).get(reverse("due", args=[cast.barn.slug]))
    assert len(answer.context["rows"]) == 60
    text = answer.content.decode()
    asked = re.findall(r'(?:href|src)="(/static/[^"]+\.(?:css|js|svg))"', text)
    files = [Path(finders.find(one.removeprefix(settings.STATIC_URL))).read_bytes() for one in dict.fromkeys(asked)]
    weights = [len(gzip.compress(content)) for content in (answer.content, *files)]
    assert len(files) >= 4
    assert sum(weights) / 1000 < FIRST_LOAD_KB, weights


def test_lists_ahead_expect_what_earlier_ones_put_on(cast, sign_in):
    make.StaffedTimeFactory(barn=cast.barn, session="turnout", at="07:00")
    first, second = (
        lists.ensure(cast.barn, slot, at=now(), conditions=COLD) for slot in sessions.coming(cast.barn, now())[:2]
    )
    if first.due_at > now() - timedelta(hours=2):
        assert dict(second.lines.values_list("horse", "tags_from")) == dict(first.lines.values_list("horse", "tags_to"))
    assert all(not row.changed for row in sign_in(cast.staff).get(at("change_list", second)).context["rows"])


def test_gaps_name_who_lacks_something(cast):
    make_list(cast)
    Horse.objects.filter(pk=cast.barn_horse.pk).update(must_be_covered=True)
    line = line_of(cast, "barn_horse")
    line.verdict, line.tags_to, line.reasons = "wear", [], []
    assert due.gaps([line], rain=False) == []
    assert [gap.bare_in_rain for gap in due.gaps([line], rain=True)] == [True]
    line.tags_to, line.reasons = ["BRN88"], [{"short": "Fern goes short."}]
    assert [gap.short for gap in due.gaps([line], rain=False)] == ["Fern goes short."]
    line.reasons, line.verdict = [], "no"
    assert len(due.gaps([line], rain=False)) == 1


def test_what_is_unknown_in_the_weather_is_said_in_the_readers_language(cast, sign_in):
    """Whoever happened to open the list first does not decide in which language it stands."""
    made = make_list(cast)
    ChangeList.objects.filter(pk=made.pk).update(weather=made.weather | {"unknown": [["rh", 2]]})
    page = reverse("due", args=[cast.barn.slug])
    assert "humidity is unknown, taken as 80 %" in sign_in(cast.staff).get(page).content.decode()
    type(cast.staff.user).objects.filter(pk=cast.staff.user.pk).update(language="es")
    assert "no se sabe la humedad; se toma 80 %" in sign_in(cast.staff).get(page).content.decode()


def test_soaked_ones_come_first_and_no_line_calls_them_right(cast, sign_in):
    line = line_of(cast)
    wearing.mark_soaked(cast.wearing, actor=_actor(cast.staff))
    page = sign_in(cast.staff).get(reverse("due", args=[cast.barn.slug]))
    row = next(one for one in page.context["rows"] if one.line.pk == line.pk)
    assert [one.line.pk for one in page.context["soaked"]] == [line.pk]
    assert (row.verdict, row.verdict_word) == ("no", "Soaked: off first")
    assert "rub the horse down" in page.content.decode()


def test_only_the_neck_is_an_order_of_its_own(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=line.tags_from, neck=True, verdict="wear", reasons=[])
    page = sign_in(cast.staff).get(reverse("due", args=[cast.barn.slug]))
    row = next(one for one in page.context["rows"] if one.line.pk == line.pk)
    assert row.title.endswith(": put the neck on")
    assert row.title.count("neck") == 1


@pytest.mark.parametrize(
    ("decided", "at", "said"), [("computed", None, True), ("owner", None, False), ("computed", 9, False)]
)
def test_where_nobody_is_down_to_take_it_off_it_says_so(cast, sign_in, decided, at, said):
    line = line_of(cast)
    warm = [{"code": "off_at", "off_time": "09:00", "warm_times": ["09:00"], "warm_c": 4.0}]
    later = now() + timedelta(hours=at) if at else None
    ListLine.objects.filter(pk=line.pk).update(decided_by=decided, take_off_at=later)
    line.refresh_from_db()
    line.reasons = warm
    assert list_rows._nobody_off(line) is said
