"""Hand checks: kept with where the air stood, taken back, and what they teach."""

import uuid
from dataclasses import replace
from datetime import timedelta

import pytest
from django.urls import reverse

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry
from barnrugs.matching.heat import comfort
from barnrugs.matching.outfit import Outfit
from barnrugs.matching.weather import Stay
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.overlay import demo_year
from horses.models import Horse
from inventory.domain import hand_checks as domain
from inventory.domain import lists, sessions, snapshot
from inventory.domain.advice import Conditions
from inventory.enums import Felt
from inventory.models import Blanket, HandCheck, ListLine
from inventory.queries import wearings
from inventory.views import list_rows
from tests import factories as make
from tests.cast import NOW
from tests.inventory.lists import COLD, make_list, now
from tests.writes import Write, six_tests

pytestmark = pytest.mark.django_db


def noted(cast):
    return make.HandCheckFactory(horse=cast.owners_horse, by=cast.staff).pk


TestWrites = six_tests(
    [
        Write(
            "hand_check",
            "hand_check_noted",
            by="staff",
            parts={"pk": "owners_horse"},
            data={"felt": "cool", "note": "behind the elbow"},
            bad={"felt": ""},
            at="felt",
            others=404,
        ),
        Write("hand_check_back", "hand_check_taken_back", by="staff", parts={"pk": noted}, others=404),
    ]
)


@pytest.fixture
def weather(cast):
    load_year(cast.barn, demo_year(), name="A year")


def checked(cast, felt="right", at=NOW):
    return domain.note(cast.owners_horse, felt=felt, actor=Actor(cast.staff, now=at))


def send(client, name, pk, **data):
    return client.post(reverse(name, args=["home", pk]), {"once": str(uuid.uuid4()), **data})


def test_it_keeps_where_the_air_stood_to_the_band_at_offset_0(cast, weather):
    """The same figures come out of the heat balance itself, asked for the one hour with what the horse wears."""
    for number in range(5):
        make.HandCheckFactory(
            horse=cast.owners_horse,
            at=NOW - timedelta(days=number + 1),
            felt="cold",
            above_low_c=4,
            above_high_c=-10,
            by=cast.staff,
        )
    subject = snapshot.read(cast.barn, NOW, only=cast.owners_horse).subject(cast.owners_horse)
    assert subject.value.offset_c > 1
    check = checked(cast)
    hour = domain.hour_at(cast.barn, NOW)
    worn = next(one for one in subject.wardrobe if one.tag == cast.worn.tag)
    stay = Stay((hour,), subject.place_at(cast.barn, NOW.astimezone(cast.barn.zone)))
    found = comfort(replace(subject.value, offset_c=0.0), stay, [Outfit((worn,))])
    assert check.tags == ["WRN22"]
    assert check.above_low_c == pytest.approx(float(found.air_c[0] - found.low_c[0, 0]))
    assert check.above_high_c == pytest.approx(float(found.air_c[0] - found.high_c[0, 0]))


def test_the_neck_that_is_on_counts(cast, weather):
    plain = checked(cast)
    cast.worn.neck = "removable"
    cast.worn.save(update_fields=["neck"])
    cast.wearing.neck_on = True
    cast.wearing.save(update_fields=["neck_on"])
    assert checked(cast).above_low_c > plain.above_low_c


def test_without_weather_it_is_kept_and_teaches_nothing(cast):
    check = checked(cast)
    assert (check.above_low_c, check.above_high_c) == (None, None)
    assert snapshot.read(cast.barn, NOW, only=cast.owners_horse).subject(cast.owners_horse).learned.readings == 0


def test_the_list_at_hand_gives_the_hour_where_its_weather_was_entered(cast):
    lists.ensure(cast.barn, sessions.at_hand(cast.barn, NOW), at=NOW, conditions=COLD)
    assert domain.hour_at(cast.barn, NOW).air_c == COLD.air_c
    assert checked(cast).above_low_c is not None


def test_cold_readings_ask_for_more_and_taken_back_ones_for_nothing(cast, weather):
    def offset():
        return snapshot.read(cast.barn, NOW, only=cast.owners_horse).subject(cast.owners_horse).learned.offset_c

    check = checked(cast, "cold")
    assert offset() > 0
    domain.take_back(check, actor=Actor(cast.staff, now=NOW))
    assert offset() == pytest.approx(0)
    check.refresh_from_db()
    assert check.taken_back_at
    assert JournalEntry.objects.filter(action__startswith="hand_check").count() == 2


MILD = Conditions(air_c=3, wind_10m_ms=2)


@pytest.mark.parametrize(("felt", "below"), [("cold", 4), ("cool", 0)])
def test_felt_cold_what_it_wore_is_too_little_for_two_hours(cast, felt, below):
    """What was felt is then what is computed: 4 degC below the band at cold, below it at cool (science, assumed)."""
    lists.ensure(cast.barn, sessions.at_hand(cast.barn, NOW), at=NOW, conditions=MILD)
    line = ListLine.objects.get(horse=cast.owners_horse)
    check = checked(cast, felt)
    assert check.above_low_c > 4
    subject = snapshot.read(cast.barn, NOW, only=cast.owners_horse).subject(cast.owners_horse)
    offset_c = subject.value_from(NOW).offset_c
    assert offset_c == pytest.approx(min(10, check.above_low_c + below))
    assert subject.value_from(NOW + timedelta(hours=3)).offset_c < offset_c
    after = ListLine.objects.get(pk=line.pk)
    fill = {one.tag: one.fill_g for one in Blanket.objects.all()}
    assert sum(fill[tag] for tag in line.tags_to) < 200
    assert sum(fill[tag] for tag in after.tags_to) >= 200 or felt == "cool"
    assert after.verdict != "wear" or after.tags_to != ["WRN22"] or felt == "cool"


def test_a_chart_that_keeps_a_cold_horse_as_it_is_is_not_called_right(cast):
    made = lists.ensure(cast.barn, sessions.at_hand(cast.barn, NOW), at=NOW, conditions=MILD)
    chart = make.ChartFactory(barn=cast.barn, horse=cast.owners_horse)
    make.ChartRowFactory(chart=chart, tags="WRN22")
    lists.replan(cast.owners_horse, at=NOW)
    line = ListLine.objects.get(change_list=made, horse=cast.owners_horse)
    assert (line.decided_by, line.tags_to) == ("owner", ["WRN22"])
    checked(cast, "cold")
    line.refresh_from_db()
    assert (line.decided_by, line.tags_to) == ("owner", ["WRN22"])
    assert line.verdict == "caution"
    assert "felt_cold" in [one.get("code") for one in line.reasons]


def test_two_taps_from_a_line(cast, sign_in):
    client = sign_in(cast.staff)
    make_list(cast)
    page = client.get(reverse("due", args=["home"])).content.decode()
    first = reverse("hand_check", args=["home", cast.owners_horse.pk])
    assert f'href="{first}"' in page
    assert client.get(first).content.decode().count('name="felt"') == 5
    assert send(client, "hand_check", cast.owners_horse.pk, felt="sweating").status_code == 302
    assert HandCheck.objects.get().felt == "sweating"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"felt": "sweating"}, "Never a filled or waterproof layer on a hot, sweating horse"),
        ({"felt": "cold", "shivers": "on"}, "and call the veterinarian"),
        ({"felt": "right", "shivers": "on"}, "and call the veterinarian"),
    ],
)
def test_sweating_and_shivering_show_the_caution(cast, sign_in, data, words):
    client = sign_in(cast.staff)
    answer = send(client, "hand_check", cast.owners_horse.pk, **data)
    assert words in client.get(answer.url).content.decode()


def test_what_was_felt_lately_stands_on_the_line_as_a_caution(cast, sign_in):
    client = sign_in(cast.staff)
    make_list(cast)
    send(client, "hand_check", cast.owners_horse.pk, felt="sweating", shivers="on")
    page = client.get(reverse("due", args=["home"]))
    row = next(row for row in page.context["rows"] if row.horse == cast.owners_horse)
    assert [text.split(" at ")[0] for text in row.warnings[:2]] == ["It shivered", "It was sweating"]


def row_of(client, horse):
    page = client.get(reverse("due", args=["home"]))
    return next(row for row in page.context["rows"] if row.horse == horse)


def says_now(client, horse):
    """What the hand-check page says with the hand checks."""
    return client.get(reverse("hand_checks", args=["home", horse.pk])).context["row"]


def test_after_sweating_the_line_is_an_order_and_done_carries_it_out(cast, sign_in):
    own = {"barn": cast.barn, "owner": cast.owner, "usual_horse": cast.owners_horse}
    make.BlanketFactory(tag="CLR99", kind="cooler", fill_g=0, waterproofing="none", **own)
    client, horse = sign_in(cast.staff), cast.owners_horse
    make_list(cast)
    assert not row_of(client, horse).order
    send(client, "hand_check", horse.pk, felt="sweating")
    row = row_of(client, horse)
    assert (row.order, row.line.tags_to, row.verdict, row.verdict_word) == (True, [], "no", "Sweating")
    assert row.title == "Take off WRN22, cool the horse out and dry it first"
    assert "cooler CLR99 first" in " ".join(row.cautions)
    assert "if it goes on sweating, call the veterinarian." in row.warnings[0]
    send(client, "line_done", row.line.pk)
    assert [worn.blanket.tag for worn in wearings.open_on(horse)] == []


def test_sweating_stands_above_the_owners_chart_and_not_above_a_note_to_ask_first(cast, sign_in):
    make.ChartRowFactory(chart=make.ChartFactory(barn=cast.barn, horse=cast.owners_horse), tags=cast.worn.tag)
    client = sign_in(cast.staff)
    assert ListLine.objects.get(change_list=make_list(cast), horse=cast.owners_horse).tags_to == [cast.worn.tag]
    send(client, "hand_check", cast.owners_horse.pk, felt="sweating")
    row = row_of(client, cast.owners_horse)
    assert row.order
    assert "refused" in row.against[0]
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_says="no_advice", vet_note="Call me first")
    send(client, "hand_check", cast.owners_horse.pk, felt="sweating")
    row = row_of(client, cast.owners_horse)
    assert row.title == "No advice: ask the veterinarian"
    assert row.warnings[0].startswith("It was sweating")


def test_after_two_hours_a_warm_one_asks_to_be_felt_again(cast, sign_in):
    """What was advised while it counted no longer holds, and says so; a later reading, or advising again, ends that."""
    made, horse = make_list(cast), cast.owners_horse
    send(sign_in(cast.staff), "hand_check", horse.pk, felt="warm")

    def changed(after):
        line = ListLine.objects.select_related("change_list", "horse").get(change_list=made, horse=horse)
        return list_rows.row(line, list_rows.read(cast.staff, [line], now() + after)).changed

    again = "feel it again, then have the list advised again"
    assert not any(again in text for text in changed(timedelta(minutes=119)))
    assert any(again in text for text in changed(timedelta(minutes=121)))
    later = now() + timedelta(minutes=121)
    lists.make_anew(made, actor=Actor(cast.staff), at=later, conditions=COLD)
    assert not any(again in text for text in changed(timedelta(minutes=122)))


def test_a_later_reading_stands_above_a_warm_one(cast, sign_in):
    made, client, horse = make_list(cast), sign_in(cast.staff), cast.owners_horse
    send(client, "hand_check", horse.pk, felt="warm")
    send(client, "hand_check", horse.pk, felt="right")
    line = ListLine.objects.select_related("change_list", "horse").get(change_list=made, horse=horse)
    row = list_rows.row(line, list_rows.read(cast.staff, [line], now() + timedelta(minutes=125)))
    assert not any("feel it again" in text for text in row.changed)


def test_after_warm_nothing_warmer_is_offered_anywhere(cast, sign_in):
    """100 g are on; more would be right for the cold."""
    client, horse = sign_in(cast.staff), cast.owners_horse
    cast.worn.fill_g, cast.owners_blanket.fill_g = 100, 400
    cast.worn.save(update_fields=["fill_g"])
    cast.owners_blanket.save(update_fields=["fill_g"])
    make_list(cast)
    line = ListLine.objects.get(horse=horse)
    fills = dict(Blanket.objects.values_list("tag", "fill_g"))

    def grams(tags):
        return sum(fills[tag] for tag in tags)

    assert grams(line.tags_to) > 100
    send(client, "hand_check", horse.pk, felt="warm")
    row = row_of(client, horse)
    assert grams(row.line.tags_to) <= 100
    offered = client.get(reverse("line_other", args=["home", line.pk])).context["offered"]
    assert offered
    assert all(grams(one.value.split("|")[0].split()) <= 100 for one in offered)
    assert says_now(client, horse).line.tags_to == row.line.tags_to
    choose = client.get(reverse("choose", args=["home", horse.pk]), {"asked": 1, "weather": "own", "air": 10})
    assert all(grams(shown.tags.split()) <= 100 for shown, _drawing in choose.context["outfits"])
    assert cast.owners_blanket.tag in {layer.tag for layer, _why in choose.context["left_out"]}


@pytest.mark.parametrize("felt", [*Felt])
@pytest.mark.parametrize("on_list", ["open", "done"])
def test_the_list_and_the_hand_checks_page_say_the_same(cast, sign_in, weather, felt, on_list):
    client, horse = sign_in(cast.staff), cast.owners_horse
    send(client, "hand_check", horse.pk, felt=felt)
    client.get(reverse("due", args=["home"]))
    send(client, "hand_check", horse.pk, felt=felt)
    row = row_of(client, horse)
    page = client.get(reverse("hand_checks", args=["home", horse.pk]))
    assert (page.context["row"].title, page.context["row"].verdict_word) == (row.title, row.verdict_word)
    assert page.context["taught"].tags == " ".join(row.line.tags_to)
    assert row.title in page.content.decode()
    if on_list == "done":
        lists.mark_done(row.line, actor=Actor(cast.staff))
        page = client.get(reverse("hand_checks", args=["home", horse.pk]))
        assert page.context["taught"].tags == " ".join(row.line.tags_to)
        send(client, "hand_check", horse.pk, felt=felt)
        row.line.refresh_from_db()
        assert row.line.outcome == "done"
        assert len(row_of(client, horse).felt_since) == (felt in {Felt.SWEATING, Felt.WARM, Felt.COLD})


def test_taken_back_a_hand_check_orders_nothing_any_more(cast, sign_in):
    client, horse = sign_in(cast.staff), cast.owners_horse
    make_list(cast)
    before = row_of(client, horse).title
    send(client, "hand_check", horse.pk, felt="sweating")
    assert row_of(client, horse).order
    send(client, "hand_check_back", HandCheck.objects.get().pk)
    row = row_of(client, horse)
    assert (row.order, row.title) == (False, before)


def test_after_two_hours_the_order_says_to_feel_again(cast, sign_in):
    client, horse = sign_in(cast.staff), cast.owners_horse
    make_list(cast)
    send(client, "hand_check", horse.pk, felt="sweating")
    HandCheck.objects.update(at=now() - timedelta(hours=2, minutes=1))
    assert any("feel it again" in text for text in row_of(client, horse).changed)


def test_the_page_shows_the_offset_its_spread_and_the_advice_with_and_without(cast, sign_in, weather):
    for number in range(6):
        make.HandCheckFactory(
            horse=cast.owners_horse,
            at=now() - timedelta(days=number + 1),
            felt="cold",
            above_low_c=6,
            above_high_c=-6,
            by=cast.staff,
        )
    page = sign_in(cast.staff).get(reverse("hand_checks", args=["home", cast.owners_horse.pk]))
    learned = page.context["learned"]
    assert learned.readings == 6
    text = page.content.decode()
    assert f"lies +{learned.offset_c * 1.8:.1f}\N{NO-BREAK SPACE}°F" in text
    assert f"give or take {learned.spread_c * 1.8:.1f}" in text
    assert "From 6 readings." in text
    assert page.context["taught"].band != page.context["untaught"].band


def test_queries_do_not_grow_with_the_checks(cast, sign_in, weather, django_assert_num_queries):
    client, url = sign_in(cast.staff), reverse("hand_checks", args=["home", cast.owners_horse.pk])
    noted(cast)
    client.get(url)
    with django_assert_num_queries(QUERIES):
        client.get(url)
    noted(cast)
    noted(cast)
    with django_assert_num_queries(QUERIES):
        client.get(url)


QUERIES = 30
