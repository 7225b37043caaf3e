"""What stands as a line's verdict: what was right when the list was made may have become wrong since."""

from datetime import timedelta

import pytest

from barnrugs.weather.models import WeatherHour
from horses.models import Horse
from inventory.models import Blanket, ChangeList, ListLine, Wearing
from inventory.views import list_rows
from tests import factories as make
from tests.cast import NOW
from tests.inventory.test_tonight import COLD, choose, tonight

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def line_for(cast, tags, *, ahead=timedelta(), horse="staff_owners_horse", verdict="wear", **more):
    due_at = NOW + ahead
    made = make.ChangeListFactory(barn=cast.barn, day=due_at.date(), session="turnout", due_at=due_at, made_at=NOW)
    return make.ListLineFactory(change_list=made, horse=getattr(cast, horse), tags_to=tags, verdict=verdict, **more)


def row_of(cast, line, after=timedelta()):
    return list_rows.row(line, list_rows.read(cast.staff, [line], NOW + after))


def said(row):
    return row.verdict, row.verdict_word


RIGHT = ("wear", "Right")


# Out in rain

RAINED_ON = "is not waterproof and was out in rain for 3 h: feel it, it may be soaked."


@pytest.fixture
def rained(cast):
    """The weather record: 3 degC, 1 mm an hour in the last three hours before NOW, else dry; all horses stand out."""
    Horse.objects.filter(barn=cast.barn).update(out_plan="always")
    source = make.WeatherSourceFactory(barn=cast.barn)
    for before in range(1, 73):
        moment, amount = NOW.replace(year=2000) - before * HOUR, 1.0 if before <= 3 else 0.0
        WeatherHour.objects.create(source=source, time=moment, air_c=3, wind_10m_ms=2, rh=0.9, precip_mm=amount)
    Wearing.objects.filter(pk=cast.wearing.pk).update(on_at=NOW - 10 * HOUR)
    return source


def worn_out(cast, **what):
    Blanket.objects.filter(pk=cast.worn.pk).update(**what)
    return row_of(cast, line_for(cast, ["WRN22"], horse="owners_horse"))


@pytest.mark.parametrize("waterproofing", ["none", "resistant"])
def test_what_was_out_in_rain_and_is_not_waterproof_may_be_soaked(cast, rained, waterproofing):
    row = worn_out(cast, waterproofing=waterproofing)
    assert (row.grave, said(row)) == ((f"WRN22 {RAINED_ON}",), ("caution", "With caution"))


def test_of_a_waterproof_one_nothing_is_said(cast, rained):
    row = worn_out(cast, waterproofing="waterproof")
    assert (row.grave, said(row)) == ((), RIGHT)


def test_nothing_is_said_where_it_went_on_after_the_rain_or_stood_in(cast, rained):
    Wearing.objects.filter(pk=cast.wearing.pk).update(on_at=NOW)
    assert worn_out(cast, waterproofing="none").grave == ()
    Wearing.objects.filter(pk=cast.wearing.pk).update(on_at=NOW - 10 * HOUR)
    Horse.objects.filter(pk=cast.owners_horse.pk).update(out_plan="in")
    ListLine.objects.all().delete()
    ChangeList.objects.all().delete()
    assert worn_out(cast, waterproofing="none").grave == ()


def test_only_the_outermost_layer_meets_the_rain(cast, rained):
    over = make.WearingFactory(
        blanket=cast.owners_blanket, horse=cast.owners_horse, on_by=cast.staff, on_at=NOW - 10 * HOUR, layer=2
    )
    assert over.blanket.waterproofing == "waterproof"
    assert worn_out(cast, waterproofing="none").grave == ()


def test_what_comes_off_after_rain_is_to_be_felt_but_the_answer_stays_right(cast, rained):
    Blanket.objects.filter(pk=cast.worn.pk).update(waterproofing="none")
    row = row_of(cast, line_for(cast, ["WNR33"], horse="owners_horse"))
    assert (row.grave, said(row)) == ((f"WRN22 {RAINED_ON}",), RIGHT)


def test_once_it_is_found_soaked_that_is_said_instead(cast, rained):
    Wearing.objects.filter(pk=cast.wearing.pk).update(soaked_at=NOW)
    row = worn_out(cast, waterproofing="none")
    assert row.grave == ("WRN22 on it is wet: take it off and hang it up.",)


def test_the_rain_of_many_costs_three_queries(cast, rained, django_assert_num_queries):
    def read():
        lines = list(ListLine.objects.select_related("horse", "change_list"))
        list_rows.read(cast.staff, lines, NOW)

    line = line_for(cast, ["WRN22"], horse="owners_horse")
    with django_assert_num_queries(ROWS):
        read()
    Blanket.objects.filter(barn=cast.barn).update(waterproofing="none")
    with django_assert_num_queries(ROWS + 3):
        read()
    for horse, blanket in ((cast.staff_owners_horse, cast.staff_owners_blanket), (cast.barn_horse, cast.barn_blanket)):
        make.ListLineFactory(change_list=line.change_list, horse=horse, tags_to=[blanket.tag])
        make.WearingFactory(blanket=blanket, horse=horse, on_by=cast.staff, on_at=NOW - 10 * HOUR)
    with django_assert_num_queries(ROWS + 3):
        read()


ROWS = 7


# Drying


@pytest.mark.parametrize(
    ("ahead_h", "expected"),
    [
        (0, ("caution", "Still wet: advise again")),
        (3, ("caution", "Still drying then: advise again")),
        (11.99, ("caution", "Still drying then: advise again")),
        (12, RIGHT),
    ],
)
def test_what_dries_is_right_only_where_it_will_be_dry_by_then(cast, ahead_h, expected):
    """The barn's drying time is twelve hours here (house setting)."""
    line = line_for(cast, ["STF66"], ahead=ahead_h * HOUR)
    assert said(row_of(cast, line)) == RIGHT
    make.PlacingFactory(blanket=cast.staff_owners_blanket, kind="drying", place="Drying room", since=NOW)
    row = row_of(cast, line)
    assert said(row) == expected
    assert bool(row.blocked) is bool(row.changed) is (expected != RIGHT)


def test_a_line_ahead_says_when_it_will_still_be_drying(cast):
    line = line_for(cast, ["STF66"], ahead=3 * HOUR)
    make.PlacingFactory(blanket=cast.staff_owners_blanket, kind="drying", since=NOW)
    sentence = "STF66 will still be drying at 00:00: have the list advised again."
    row = row_of(cast, line)
    assert (row.blocked, row.changed) == (sentence, (sentence,))


@pytest.mark.parametrize(("ahead_h", "expected"), [(11, "caution"), (12, "wear")])
def test_what_another_horse_wears_soaked_dries_from_now_at_the_earliest(cast, ahead_h, expected):
    line = line_for(cast, ["WRN22"], ahead=ahead_h * HOUR)
    assert said(row_of(cast, line)) == RIGHT
    Wearing.objects.filter(pk=cast.wearing.pk).update(soaked_at=NOW)
    assert row_of(cast, line).verdict == expected


@pytest.mark.parametrize("ahead_h", [0, 3])
def test_what_is_away_is_never_right(cast, ahead_h):
    line = line_for(cast, ["STF66"], ahead=ahead_h * HOUR)
    make.CareJobFactory(blanket=cast.staff_owners_blanket, step="away")
    assert said(row_of(cast, line)) == ("caution", "Advise again")


# Do not use


@pytest.mark.parametrize("tags", [["WRN22"], [], ["BRN88"]])
def test_a_horse_in_one_marked_do_not_use_reads_no_right(cast, tags):
    line = line_for(cast, tags, horse="owners_horse")
    assert said(row_of(cast, line)) == RIGHT
    make.CareJobFactory(blanket=cast.worn, do_not_use=True)
    assert said(row_of(cast, line)) == ("no", "Do not use: off first")


def test_one_marked_do_not_use_goes_aside_and_not_to_its_rack(cast):
    cast.worn.rack = "Rack 17"
    cast.worn.save(update_fields=["rack"])
    line = line_for(cast, [], horse="owners_horse")
    assert row_of(cast, line).title == "Take off WRN22, to Rack 17"
    make.CareJobFactory(blanket=cast.worn, do_not_use=True)
    row = row_of(cast, line)
    assert row.title == "Take off WRN22, aside, to be repaired"
    assert [one.to for one in row.off] == ["aside, to be repaired"]
    Wearing.objects.filter(pk=cast.wearing.pk).update(soaked_at=NOW)
    assert row_of(cast, line).title == "Take off WRN22, to where it can dry"


def test_one_given_and_marked_do_not_use_is_not_right(cast):
    line = line_for(cast, ["STF66"])
    make.CareJobFactory(blanket=cast.staff_owners_blanket, do_not_use=True)
    assert said(row_of(cast, line)) == ("no", "Do not use")


# What a hand felt


@pytest.mark.parametrize(
    ("felt", "tags", "expected"),
    [
        ("sweating", ["BRN88"], ("no", "Sweating")),
        ("sweating", ["CLR99"], RIGHT),
        ("sweating", [], RIGHT),
        ("warm", ["WRN22"], RIGHT),
        ("warm", ["WNR33"], ("caution", "Felt otherwise: advise again")),
        ("cold", ["WNR33"], RIGHT),
        ("cold", ["WRN22"], ("caution", "Felt otherwise: advise again")),
        ("cold", [], ("caution", "Felt otherwise: advise again")),
        ("right", ["WNR33"], RIGHT),
    ],
)
def test_within_two_hours_nothing_is_right_that_a_hand_speaks_against(cast, felt, tags, expected):
    """It wore 200 g; WNR33 has 300 g, CLR99 is a cooler without fill."""
    make.BlanketFactory(barn=cast.barn, tag="CLR99", kind="cooler", fill_g=0, waterproofing="none")
    make.HandCheckFactory(horse=cast.owners_horse, at=NOW, felt=felt, tags=["WRN22"])
    within = line_for(cast, tags, horse="owners_horse", ahead=2 * HOUR - timedelta(minutes=1))
    assert said(row_of(cast, within)) == expected
    assert said(row_of(cast, within, after=2 * HOUR)) == RIGHT
    within.change_list.due_at = NOW + 2 * HOUR
    assert said(row_of(cast, within)) == expected
    within.change_list.due_at = NOW + 3 * HOUR
    assert said(row_of(cast, within)) == RIGHT


def test_a_caution_that_was_advised_with_what_was_felt_stays_as_it_is(cast):
    make.HandCheckFactory(horse=cast.owners_horse, at=NOW, felt="cold", tags=["WRN22"])
    line = line_for(cast, ["WRN22"], horse="owners_horse", verdict="caution")
    assert said(row_of(cast, line)) == ("caution", "With caution")


# Must be covered


COVER = "Must be covered whatever the rule: nothing is advised, so ask the manager what it wears."


def must_cover(cast, **more):
    Horse.objects.filter(pk=cast.owners_horse.pk).update(must_be_covered=True, **more)
    cast.owners_horse.refresh_from_db()


def test_a_horse_that_must_be_covered_never_reads_that_nothing_is_right(cast):
    line = line_for(cast, [], horse="owners_horse")
    assert said(row_of(cast, line)) == RIGHT
    must_cover(cast)
    row = row_of(cast, line)
    assert said(row) == ("caution", "With caution")
    assert COVER in row.grave
    assert COVER in row.brief
    line.tags_to = ["WRN22"]
    assert said(row_of(cast, line)) == RIGHT
    assert COVER not in row_of(cast, line).grave


def test_the_veterinarian_and_cooling_out_stand_above_covering(cast):
    line = line_for(cast, [], horse="owners_horse", reasons=[{"code": "walk_first"}])
    must_cover(cast)
    assert COVER not in row_of(cast, line).grave
    line.reasons = []
    assert COVER in row_of(cast, line).grave
    must_cover(cast, vet_says="nothing", vet_note="Nothing on")
    assert COVER not in row_of(cast, line).grave
    assert said(row_of(cast, line)) == RIGHT


def test_tonight_and_choose_say_so_too(cast, sign_in):
    must_cover(cast)
    client, warm = sign_in(cast.staff), COLD | {"air": "80"}
    page = client.get(tonight(cast), warm)
    row = next(one for one in page.context["rows"] if one.line.horse == cast.owners_horse)
    assert (row.line.given.tags, row.shown.verdict, row.shown.verdict_word) == ((), "caution", "With caution")
    assert COVER in page.content.decode()
    page = client.get(choose(cast, cast.owners_horse), warm)
    bare = next(shown for shown, _drawing in page.context["outfits"] if not shown.tags)
    assert (bare.verdict, bare.cautions[0]) == ("caution", COVER)
    others = [one for one in client.get(tonight(cast), warm).context["rows"] if one.line.horse != cast.owners_horse]
    assert {one.shown.verdict for one in others} == {"wear"}
