"""What a list says at its head of what changed since it was made; a Done that cannot be; lists made beside others."""

import uuid
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, timedelta
from html import unescape

import pytest
from django.db import connection
from django.urls import reverse
from django.utils import timezone, translation

from barnrugs.barns.domain import house
from barnrugs.barns.journal import Actor
from barnrugs.matching import charts as matching
from barnrugs.matching.strength import FillWord
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.overlay import demo_year
from horses.domain import horse as horses
from horses.enums import OutPlan
from horses.models import Horse
from inventory.domain import charts, drying, due, fit, hand_checks, lists, sessions, since, wearing
from inventory.domain.charts import Written
from inventory.domain.since import Changed
from inventory.enums import Fit
from inventory.models import ChangeList, ListLine
from inventory.queries import wearings
from inventory.views import answers
from tests import factories as make
from tests.inventory.lists import COLD, line_of, make_list, now

pytestmark = pytest.mark.django_db
DUE = "/barns/home/due/"


@pytest.fixture
def staff(cast):
    return Actor(cast.staff)


@pytest.fixture
def manager(cast):
    return Actor(cast.manager)


def found(cast):
    made = make_list(cast)
    return since.changed_since(made.barn, made.lines.select_related("change_list")).get(made.pk, [])


def chart_for(horse, actor):
    return charts.write_chart(
        horse, written=Written((matching.Row(None, None, fill=FillWord.HEAVY),)), seen=None, actor=actor
    )


def rule(cast, actor, **values):
    return house.change_house(cast.barn, values=values, actor=actor)


CHANGES = {
    "a chart": (lambda cast, by: chart_for(cast.owners_horse, by), [Changed.CHART]),
    "the house chart": (lambda cast, by: chart_for(None, by), [Changed.HOUSE]),
    "a house rule": (lambda cast, by: rule(cast, by, rain_threshold=0.6), [Changed.HOUSE]),
    "the barn's name": (lambda cast, by: rule(cast, by, name="New"), []),
    "a vet's note": (
        lambda cast, by: horses.note_vet(cast.owners_horse, values={"vet_says": "nothing", "vet_note": "x"}, actor=by),
        [Changed.VET],
    ),
    "a blanket found wet": (
        lambda cast, by: drying.mark_wet(cast.owners_blanket, place="Loft", actor=by), [Changed.BLANKET],
    ),
    "how one fits": (
        lambda cast, by: fit.note_fit(
            cast.owners_blanket, horse=cast.owners_horse, fit=Fit.TIGHT, on=date(2026, 1, 1), actor=by
        ),
        [Changed.BLANKET, ],
    ),
    "a hand check": (lambda cast, by: hand_checks.note(cast.owners_horse, felt="cold", actor=by), []),
    "a line that is done": (lambda cast, by: lists.mark_done(line_of(cast), actor=by), []),
    "a note for the next shift": (lambda cast, by: lists.leave_note(make_list(cast), note="Gate", actor=by), []),
}  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_what_changed_since_the_list_was_made_is_known_by_the_journal(cast, manager, change):
    """A hand check has its line advised again at once; what lists themselves do is no news to them."""
    act, expected = CHANGES[change]
    make_list(cast)
    assert found(cast) == []
    act(cast, manager)
    assert found(cast) == expected


def test_what_concerns_only_lines_that_are_done_is_no_news(cast, manager):
    lists.mark_done(line_of(cast), actor=manager)
    chart_for(cast.owners_horse, manager)
    assert found(cast) == []


def test_a_hand_check_is_news_to_the_lists_that_were_not_advised_again(cast, manager):
    make.StaffedTimeFactory(barn=cast.barn, session="turnout", at="07:00")
    slots = sessions.coming(cast.barn, now())[:2]
    first, second = (lists.ensure(cast.barn, slot, at=now(), conditions=COLD) for slot in slots)
    hand_checks.note(cast.owners_horse, felt="cold", actor=manager)
    lines = ListLine.objects.filter(change_list__in=(first, second)).select_related("change_list")
    changed = since.changed_since(cast.barn, lines)
    assert [changed[made.pk] for made in (first, second)] == [[], [Changed.HAND]]


def test_the_head_says_it_in_a_sentence_with_a_button_that_keeps_what_is_done(cast, sign_in, manager):
    client, done = sign_in(cast.staff), line_of(cast, "other_horse")
    lists.mark_done(done, actor=manager)
    chart_for(cast.owners_horse, manager)
    page = client.get(DUE)
    assert "something changed: a chart." in page.content.decode()
    made = make_list(cast)
    again = reverse("list_anew", args=["home", made.day.isoformat(), made.session])
    assert f'action="{again}"' in page.content.decode()
    assert client.post(again, {"once": str(page.context["once"])}).status_code == 302
    page = client.get(DUE)
    assert page.context["since"] == []
    assert "something changed" not in page.content.decode()
    assert line_of(cast).decided_by == "owner"
    done.refresh_from_db()
    assert done.outcome == "done"
    assert {hour.air_c for hour in lists.hours_of(make_list(cast))} == {COLD.air_c}


def test_an_owner_reads_it_and_has_no_button(cast, sign_in, manager):
    make_list(cast)
    chart_for(cast.owners_horse, manager)
    text = sign_in(cast.owner).get(DUE).content.decode()
    assert "something changed: a chart." in text
    assert "Advise again" not in text


def test_queries_do_not_grow_with_what_changed(cast, sign_in, manager, django_assert_num_queries):
    make_list(cast)
    client = sign_in(cast.staff)
    drying.mark_wet(cast.owners_blanket, place="Loft", actor=manager)
    client.get(DUE)
    with django_assert_num_queries(QUERIES):
        client.get(DUE)
    for blanket in (cast.barn_blanket, cast.owners_liner):
        drying.mark_wet(blanket, place="Loft", actor=manager)
    with django_assert_num_queries(QUERIES):
        client.get(DUE)


QUERIES = 21


# A Done that cannot be


def blocked_line(cast):
    line = line_of(cast, "staff_owners_horse")
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.staff_owners_blanket.tag])
    make.PlacingFactory(blanket=cast.staff_owners_blanket, kind="drying", place="Boiler room", since=now())
    return line


def card(text, line):
    return text.split(f'id="line-{line.pk}"')[1].split("</li>")[0]


@pytest.mark.parametrize("page", ["due", "line"])
def test_what_cannot_be_put_on_is_said_before_the_tap_and_other_leads(cast, sign_in, page):
    line, client = blocked_line(cast), sign_in(cast.staff)
    if page == "due":
        text = card(client.get(DUE).content.decode(), line)
    else:
        text = client.get(reverse("line", args=["home", line.pk])).content.decode()
    assert "STF66 cannot be put on now, it is wet: take another with Other." in text
    assert "/done/" not in text
    other = reverse("line_other", args=["home", line.pk])
    assert f'<a class="btn btn-field" href="{other}">' in text


def test_a_done_that_is_refused_says_why_and_what_next_in_one_sentence(cast, sign_in):
    line, client = blocked_line(cast), sign_in(cast.staff)
    url, data = reverse("line_done", args=["home", line.pk]), {"once": str(uuid.uuid4())}
    answer = client.post(url, data, headers={"HX-Request": "true"})
    assert answer.status_code == 422
    text = answer.content.decode()
    assert text.count("STF66 cannot be put on now, it is wet: take another with Other.") == 1
    assert 'role="alert"' in text
    assert "STF66" not in [one.blanket.tag for one in wearings.open_on(line.horse)]
    assert client.post(url, data).content.decode().count("take another with Other") == 1


def test_what_it_wears_already_may_stay_on(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.worn.tag])
    row = next(one for one in sign_in(cast.staff).get(DUE).context["rows"] if one.line == line)
    assert row.blocked == ""


# What a card says


def row_of(cast, sign_in, line):
    return next(one for one in sign_in(cast.staff).get(DUE).context["rows"] if one.line == line)


def test_nothing_on_is_an_order_with_the_place_it_belongs(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[], reasons=[])
    cast.worn.rack = "Rack 9"
    cast.worn.save(update_fields=["rack"])
    assert row_of(cast, sign_in, line).title == "Take off WRN22, to Rack 9"
    cast.worn.rack = ""
    cast.worn.save(update_fields=["rack"])
    cast.worn.placings.all().delete()
    assert row_of(cast, sign_in, line).title == "Take off WRN22, to its rack"
    ended = {"since": now() - timedelta(days=2), "until": now() - timedelta(days=1)}
    make.PlacingFactory(blanket=cast.worn, kind="rack", place="Peg by the door", **ended)
    assert row_of(cast, sign_in, line).title == "Take off WRN22, to Peg by the door"
    wearing.change(cast.owners_horse, to=[], actor=Actor(cast.manager))
    assert row_of(cast, sign_in, line).title == "Stays bare"


def test_headlines_lead_with_kind_and_grams_and_the_tag_comes_second(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=["LNR44", "WNR33"])
    row = row_of(cast, sign_in, line)
    assert (row.title, row.tags) == ("Liner, light 100 g + Turnout, heavy 300 g", "LNR44 + WNR33")
    ListLine.objects.filter(pk=line.pk).update(tags_to=["WRN22"], neck=False)
    assert row_of(cast, sign_in, line).title == "Keeps turnout, medium 200 g"


def test_a_blanket_that_is_usually_anothers_says_whose(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.staff_owners_blanket.tag])
    assert [one.usual for one in row_of(cast, sign_in, line).pieces] == ["Cinder"]
    assert "usually Cinder's" in card(sign_in(cast.staff).get(DUE).content.decode(), line)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.owners_blanket.tag])
    assert [one.usual for one in row_of(cast, sign_in, line).pieces] == [""]


@pytest.mark.parametrize(
    ("plan", "words"), [(OutPlan.ALWAYS, "goes out"), (OutPlan.IN, "stays in"), (OutPlan.DAY, "out 2 of 4 h")]
)
def test_a_card_says_whether_the_horse_goes_out(cast, sign_in, plan, words):
    made, line = make_list(cast), line_of(cast)
    hours = [timezone.localtime(hour.time, cast.barn.zone) for hour in lists.hours_of(made)][:1]
    times = [(hours[0] + timedelta(hours=number)) for number in range(4)]
    figures = [{**made.weather["hours"][0], "time": time.isoformat()} for time in times]
    ChangeList.objects.filter(pk=made.pk).update(weather={**made.weather, "hours": figures})
    until = (times[2]).time()
    Horse.objects.filter(pk=cast.owners_horse.pk).update(out_plan=plan, out_from=times[0].time(), out_until=until)
    assert row_of(cast, sign_in, line).goes == words
    assert words in card(sign_in(cast.staff).get(DUE).content.decode(), line)


WHO_HAS = "Bramble goes short: T4 goes on Dapple, so it gets T1."


def test_who_goes_short_is_told_to_ask_and_why_in_the_readers_language(cast, sign_in):
    made = make_list(cast)
    warmth = {"code": "right_at", "low_c": -10, "high_c": 0, "air_c": -5}
    shortage = {"name": "Bramble", "held": [["T4", "Dapple"]], "given": ["T1"], "warmth": warmth}
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(reasons=[{"short": shortage}])
    text = card(sign_in(cast.staff).get(DUE).content.decode(), line)
    assert "Goes short: ask the manager." in text
    assert WHO_HAS in text
    assert "ask the manager" in card(sign_in(cast.owner).get(DUE).content.decode(), line)
    assert "Dapple" not in card(sign_in(cast.owner).get(DUE).content.decode(), line)
    page = sign_in(cast.manager).get("/barns/home/")
    said = [str(gap.short) for gap in page.context["gaps"] if gap.gap.line == line]
    assert said == [f"{WHO_HAS} Comfortable from 14 °F to 32 °F, and the air is at 23 °F."]
    with translation.override("es"):
        assert answers.short_words(shortage, answers.voice(made.barn), brief=True).startswith("A Bramble no le alcanza")


def test_a_made_list_keeps_who_goes_short_as_codes(cast):
    """Two clipped horses in the cold and one spare between them; whoever opens the list first leaves no language."""
    with translation.override("es"):
        for number in range(2):
            twin = make.HorseFactory(barn=cast.barn, name=f"Twin {number}", walk_order=90 + number)
            make.MeasurementFactory(horse=twin)
            make.CoatFactory(horse=twin, clip="full")
        kept = [reason["short"] for line in make_list(cast).lines.all() for reason in line.reasons if "short" in reason]
    assert kept
    assert all(set(short) == {"name", "held", "given", "warmth"} and "code" in short["warmth"] for short in kept)


# The veterinarian's note


def test_other_advises_nothing_where_the_veterinarian_wants_no_advice(cast, sign_in):
    line, client = line_of(cast), sign_in(cast.staff)
    url = reverse("line_other", args=["home", line.pk])
    assert client.get(url).context["offered"]
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_says="no_advice", vet_note="Call me first")
    page = client.get(url)
    assert page.context["offered"] == []
    text = page.content.decode()
    assert "allows no advice for this horse" in text
    assert "Call me first" in text
    assert text.count('name="instead"') == 1
    assert "verdict-" not in text
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_until=now().date() - timedelta(days=2))
    assert client.get(url).context["offered"]


# Where a wet one hangs


def test_the_known_places_are_buttons_and_one_tap_says_wet_and_where(cast, sign_in):
    for place, times in (("Boiler room", 2), ("Loft", 1)):
        for _time in range(times):
            ended = {"since": now() - timedelta(days=9), "until": now() - timedelta(days=8)}
            make.PlacingFactory(blanket=cast.owners_blanket, kind="drying", place=place, **ended)
    make.PlacingFactory(blanket=cast.other.blanket, kind="drying", place="Next door", since=now())
    line, client = line_of(cast), sign_in(cast.staff)
    page = client.get(reverse("line", args=["home", line.pk]))
    assert page.context["drying_places"] == ["Boiler room", "Loft"]
    for name, pk, count in (("line", line.pk, 4), ("line_other", line.pk, 4), ("mark_wet", cast.owners_blanket.pk, 3)):
        text = client.get(reverse(name, args=["home", pk])).content.decode()
        assert text.count('type="radio" name="place"') == count, name
        assert ("<span>Nothing came off wet</span>" in text) == (count == 4)
        assert "Next door" not in text
    ListLine.objects.filter(pk=line.pk).update(tags_to=[])
    done = reverse("line_done", args=["home", line.pk])
    assert client.post(done, {"once": str(uuid.uuid4()), "place": ["Loft", ""]}).status_code == 302
    placing = cast.worn.placings.get(until=None)
    assert (placing.kind, placing.place) == ("drying", "Loft")


def test_a_typed_place_still_counts(cast, sign_in):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=[])
    url = reverse("line_done", args=["home", line.pk])
    sign_in(cast.staff).post(url, {"once": str(uuid.uuid4()), "wet": "on", "place": "Old dairy"})
    assert cast.worn.placings.get(until=None).place == "Old dairy"


# Made beside others


READS_FOR_ADVICE = 'FROM "inventory_fitnote"'
LOOKS_WHETHER_IT_MOVED = 'COUNT("barns_journalentry"'


@contextmanager
def whenever(part_of_sql, do):
    """Does something right after each query that contains this, as somebody else would on a connection beside."""
    busy = False

    def watch(execute, sql, *args):
        nonlocal busy
        answer = execute(sql, *args)
        if part_of_sql in sql and not busy:
            busy = True
            do()
            busy = False
        return answer

    with connection.execute_wrapper(watch):
        yield


def advise_again(cast, sign_in, made):
    url = reverse("list_anew", args=["home", made.day.isoformat(), made.session])
    assert sign_in(cast.staff).post(url, {"once": str(uuid.uuid4()), "air": "20"}).status_code == 302


def test_advising_again_computes_before_it_writes(cast, sign_in):
    """Nothing of the barn is read for advice inside the transaction of the write."""
    made, inside = make_list(cast), []
    depth = len(connection.savepoint_ids)
    with whenever(READS_FOR_ADVICE, lambda: inside.append(len(connection.savepoint_ids))):
        advise_again(cast, sign_in, made)
    assert inside == [depth]


def test_what_moved_meanwhile_is_computed_once_more(cast, sign_in, manager):
    made, readings = make_list(cast), []

    def moved():
        if not readings:
            chart_for(cast.owners_horse, manager)
        readings.append(now())

    with whenever(READS_FOR_ADVICE, moved):
        advise_again(cast, sign_in, made)
    assert len(readings) == 2
    assert line_of(cast).decided_by == "owner"


def test_in_a_barn_that_never_rests_it_is_made_all_the_same(cast, sign_in, staff):
    made, notes = make_list(cast), []

    def moved():
        notes.append(lists.leave_note(made, note=f"Once more {len(notes)}", actor=staff))

    with whenever(READS_FOR_ADVICE, moved):
        advise_again(cast, sign_in, made)
    made.refresh_from_db()
    assert made.weather["source"] == lists.BY_HAND
    assert len(notes) == 4


def test_weather_that_came_while_it_was_computed_is_news_to_it(cast, staff):
    made = make_list(cast)
    slot = sessions.at_hand(cast.barn, now())
    prepared = lists.prepare(cast.barn, slot, at=now(), conditions=COLD)
    source = load_year(cast.barn, demo_year(), name="A year")
    seen = lists._journal_ends(cast.barn)
    lists.make_anew(made, actor=staff, at=now(), prepared=replace(prepared, seen=seen))
    assert made.made_at < source.loaded_at
    assert Changed.WEATHER in found(cast)


def test_an_entry_written_late_under_a_lower_number_counts_as_moved(cast, manager):
    """On PostgreSQL a change that began earlier may be written after a later one."""
    make_list(cast)
    prepared = lists.prepare(cast.barn, sessions.at_hand(cast.barn, now()), at=now(), conditions=COLD)
    last, count = prepared.seen
    prepared.refuse_moved(cast.barn)
    with pytest.raises(lists.Moved):
        replace(prepared, seen=(last, count - 1)).refuse_moved(cast.barn)


@pytest.mark.parametrize("htmx", [True, False])
def test_a_tap_on_what_the_line_said_before_is_refused(cast, sign_in, htmx):
    """A hand check changed the line under an open page: Done is not taken for what nobody saw."""
    line, client = line_of(cast), sign_in(cast.manager)
    before = client.get(DUE).context["rows"]
    shown = next(row.shown for row in before if row.line.pk == line.pk)
    hand_checks.note(cast.owners_horse, felt="sweating", actor=Actor(cast.staff))
    head = {"HX-Request": "true"} if htmx else {}
    url = reverse("line_done", args=["home", line.pk])
    answer = client.post(url, {"once": str(uuid.uuid4()), "shown": shown}, headers=head)
    assert "something else for Bramble now" in answer.content.decode()
    line.refresh_from_db()
    assert not line.outcome
    fresh = lists.as_shown(line)
    assert fresh != shown
    assert fresh in answer.content.decode()
    client.post(url, {"once": str(uuid.uuid4()), "shown": fresh}, headers=head)
    line.refresh_from_db()
    assert line.outcome == "done"


def test_all_done_here_leaves_open_what_says_something_else_by_now(cast, sign_in):
    line, client = line_of(cast), sign_in(cast.manager)
    made = line.change_list
    place = next(one.key for one, lines in due.places(list(made.lines.all()), {}).items() if line in lines)
    url = reverse("list_here", args=["home", made.day.isoformat(), made.session, place])
    page = client.get(url)
    sent = {f"shown-{row.line.pk}": row.shown for row in page.context["rows"]}
    assert sent
    hand_checks.note(cast.owners_horse, felt="sweating", actor=Actor(cast.staff))
    client.post(url, {"once": str(uuid.uuid4()), **sent})
    line.refresh_from_db()
    assert not line.outcome


def test_a_line_without_an_answer_says_why_on_the_list(cast, sign_in):
    make_list(cast, replace(COLD, air_c=-60))
    assert not line_of(cast).verdict
    row = next(one for one in sign_in(cast.staff).get(DUE).context["rows"] if one.horse == cast.owners_horse)
    assert row.no_answer
    made = row.line.change_list
    for page in (DUE, reverse("list_paper", args=["home", made.day.isoformat(), made.session])):
        assert row.no_answer in unescape(sign_in(cast.staff).get(page).content.decode())


def test_conditions_entered_while_another_makes_the_list_count(cast, staff):
    """Both saw no list; the other's was written first, from a weather file."""
    load_year(cast.barn, demo_year(), name="A year")
    slot = sessions.at_hand(cast.barn, now())
    prepared = lists.prepare(cast.barn, slot, at=staff.at, conditions=COLD)
    theirs = []

    def beaten():
        if not theirs:
            theirs.append(lists.ensure(cast.barn, slot, at=staff.at))

    with whenever(LOOKS_WHETHER_IT_MOVED, beaten):
        made = lists.enter_conditions(cast.barn, slot, conditions=COLD, actor=staff, prepared=prepared)
    assert theirs == [made]
    assert {hour.air_c for hour in lists.hours_of(made)} == {COLD.air_c}
    assert ChangeList.objects.filter(barn=cast.barn).count() == 1


# The menu


@pytest.mark.parametrize(
    ("who", "expected"),
    [("staff", False), ("staff_owner", True), ("manager", True), ("owner", True)],
)
def test_who_only_works_off_the_lists_has_due_now_first_and_no_tonight_beside_it(cast, sign_in, who, expected):
    page = sign_in(getattr(cast, who)).get(reverse("horses", args=["home"]))
    labels = [link.label for link in page.context["navigation"]]
    assert labels[0] == "Due now"
    assert ("Tonight" in labels) == expected
