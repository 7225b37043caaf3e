"""Charts in the house: written in versions, read again after a clip, held against the computed bands and tonight.

What a chart asks for and how it is read is common practice, no source; the bands come from the heat balance, which has
published checks of its own (tests/matching/published).
"""

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, JournalEntry
from barnrugs.barns.models.barn import HouseModel, Units
from barnrugs.matching import charts as matching
from barnrugs.matching.charts import Row, Wetness
from barnrugs.matching.horse import Horse as HorseValue
from barnrugs.matching.strength import FillWord
from barnrugs.matching.weather import Place
from barnrugs.matching.words import Clip, PlaceKind
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.overlay import demo_year
from horses.domain import measurement
from inventory import chart_words
from inventory.domain import chart_bands, lists, precedence
from inventory.domain import charts as domain
from inventory.domain.charts import Written
from inventory.enums import ChartNote, Override
from inventory.models import Chart, ChartRow
from inventory.queries import charts as queries
from inventory.views import chart_drawing
from tests import factories as make
from tests.inventory.lists import line_of
from tests.writes import Write, six_tests, typed

NONE, LIGHT, MEDIUM = Row(10, None), Row(0, 10, fill=FillWord.LIGHT), Row(None, 0, fill=FillWord.MEDIUM)
THREE = Written((NONE, LIGHT, MEDIUM))

ONE_LINE = {"line0_wear": "medium", "do": "save"}
BAD_LINE = {"line0_wear": "medium", "line0_from": "50", "line0_below": "40", "do": "save"}


def write(cast, horse=None, what=THREE, by="manager"):
    now = queries.current(cast.barn, horse)
    actor = Actor(person=getattr(cast, by))
    return domain.write_chart(horse, written=what, seen=now.pk if now else None, actor=actor)


def clip(cast, horse=None):
    values = {"on": date(2026, 1, 10), "clip": "hunter", "clipped_now": True, "depth_mm": None}
    return measurement.note_coat(horse or cast.owners_horse, values=values, actor=Actor(person=cast.staff))


def write_and_clip(cast):
    write(cast, cast.owners_horse)
    clip(cast)


TestWrites = six_tests(
    [
        Write(
            "chart_change",
            "chart_written",
            "owner",
            {"pk": "owners_horse"},
            ONE_LINE,
            BAD_LINE,
            "line0_below",
            404,
        ),
        Write("house_chart_change", "house_chart_written", "manager", {}, ONE_LINE, BAD_LINE, "line0_below"),
        Write(
            "chart_end",
            "chart_ended",
            "owner",
            {"pk": "owners_horse"},
            bad={"why": "x" * 201},
            at="why",
            others=404,
            set_up=lambda cast: write(cast, cast.owners_horse),
        ),
        Write(
            "house_chart_end",
            "house_chart_ended",
            bad={"why": "x" * 201},
            at="why",
            set_up=write,
        ),
        Write(
            "chart_read",
            "chart_read_again",
            "owner",
            {"pk": "owners_horse"},
            others=404,
            set_up=write_and_clip,
        ),
    ]
)

pytestmark = pytest.mark.django_db


def press_save(client, url, data):
    """A chart with a gap is asked about first: then a second time."""
    asked = client.post(url, data)
    if asked.status_code == 302:
        return 302
    return client.post(url, {**data, "accepted": asked.context["form"]["accepted"].value()}).status_code


def address(name, cast, *parts):
    return reverse(name, args=[cast.barn.slug, *parts])


# Versions


def test_a_new_version_ends_the_old_and_both_stand_in_the_journal(cast):
    first = write(cast, cast.owners_horse)
    second = write(cast, cast.owners_horse, Written((NONE, MEDIUM), feels_like=True), by="owner")
    first.refresh_from_db()
    assert (first.until, second.until) == (second.since, None)
    assert queries.current(cast.barn, cast.owners_horse) == second
    assert list(queries.versions(cast.barn, cast.owners_horse)) == [first]
    entry = JournalEntry.objects.latest("pk")
    assert (entry.action, entry.before["feels_like"], entry.after["feels_like"]) == ("chart_written", False, True)
    assert [row["fill"] for row in entry.before["rows"]] == [None, "light", "medium"]


def test_nothing_of_an_old_version_is_lost(cast):
    rows = (Row(-5, 5, PlaceKind.TURNOUT, Wetness.DRY, tags=("LNR44", "WNR33"), note="mine", picked=("call_me",)), NONE)
    what = Written(rows, tolerance_c=1.5, override=Override.NOBODY, note="All winter")
    first = write(cast, cast.owners_horse, what)
    domain.end_chart(first, actor=Actor(person=cast.owner))
    kept = queries.versions(cast.barn, cast.owners_horse).get()
    assert domain.written(kept) == what


def test_the_same_again_makes_no_new_version(cast):
    first = write(cast, cast.owners_horse)
    before = JournalEntry.objects.count()
    assert write(cast, cast.owners_horse) == first
    assert JournalEntry.objects.count() == before


def test_one_chart_for_the_house_and_one_for_a_horse_stand_side_by_side(cast):
    house, own = write(cast), write(cast, cast.owners_horse)
    assert queries.current(cast.barn, None) == house
    assert queries.current(cast.barn, cast.owners_horse) == own
    assert queries.current(cast.barn, cast.other_horse) is None


def test_who_writes_on_top_of_a_version_not_seen_is_told_what_changed(cast):
    seen = write(cast, cast.owners_horse)
    write(cast, cast.owners_horse, Written((NONE, LIGHT)), by="manager")
    with pytest.raises(Refused, match="Manager changed this chart"):
        domain.write_chart(cast.owners_horse, written=THREE, seen=seen.pk, actor=Actor(person=cast.owner))


def test_two_people_at_one_chart_the_second_loses_nothing_typed(cast, sign_in):
    write(cast, cast.owners_horse)
    url = address("chart_change", cast, cast.owners_horse.pk)
    client = sign_in(cast.owner)
    sending = typed(client, url, line0_note="Typed by the owner", do="save")
    write(cast, cast.owners_horse, Written((NONE, LIGHT), note="Changed meanwhile"))
    refused = client.post(url, sending)
    assert refused.status_code == 200
    assert "changed this chart while you were writing" in str(refused.context["form"].non_field_errors())
    assert "Typed by the owner" in refused.content.decode()
    again = {**sending, "seen": refused.context["form"]["seen"].value()}
    assert press_save(client, url, again) == 302
    assert queries.current(cast.barn, cast.owners_horse).rows.filter(note="Typed by the owner").exists()


def test_a_chart_without_a_line_or_with_a_line_upside_down_is_refused(cast):
    with pytest.raises(Refused, match="at least one line"):
        write(cast, None, Written(()))
    with pytest.raises(Refused, match="must end above"):
        write(cast, None, Written((Row(10, 0),)))
    assert not Chart.objects.exists()
    assert not ChartRow.objects.exists()


# After a clip


def test_a_clip_asks_for_the_chart_to_be_read_again_and_leaves_it_in_force(cast):
    own, house, other = write(cast, cast.owners_horse), write(cast), write(cast, cast.other_horse)
    clip(cast)
    assert list(queries.to_read_again(cast.barn)) == [own]
    assert queries.current(cast.barn, cast.owners_horse) == own
    for chart in (house, other):
        chart.refresh_from_db()
        assert not chart.read_again


def test_a_coat_noted_without_a_clip_asks_for_nothing(cast):
    write(cast, cast.owners_horse)
    values = {"on": date(2026, 1, 10), "clip": "hunter", "clipped_now": False, "depth_mm": None}
    measurement.note_coat(cast.owners_horse, values=values, actor=Actor(person=cast.staff))
    assert not queries.to_read_again(cast.barn).exists()


@pytest.mark.parametrize("how", ["confirmed", "saved as it is", "written anew"])
def test_it_is_read_again_by_one_tap_or_by_writing(cast, how):
    chart = write(cast, cast.owners_horse)
    clip(cast)
    if how == "confirmed":
        domain.confirm_chart(chart, actor=Actor(person=cast.owner))
    else:
        write(cast, cast.owners_horse, THREE if how == "saved as it is" else Written((NONE, MEDIUM)), by="owner")
    assert not queries.to_read_again(cast.barn).exists()


def test_the_owner_is_asked_on_the_charts_page_and_staff_are_told(cast, sign_in):
    write_and_clip(cast)
    url = address("chart", cast, cast.owners_horse.pk)
    assert "It still holds" in sign_in(cast.owner).get(url).content.decode()
    shown = sign_in(cast.staff).get(url).content.decode()
    assert "To be read again" in shown
    assert "It still holds" not in shown


def test_read_by_two_the_second_is_told(cast, sign_in):
    write_and_clip(cast)
    chart = queries.current(cast.barn, cast.owners_horse)
    domain.confirm_chart(chart, actor=Actor(person=cast.manager))
    with pytest.raises(Refused, match="already"):
        domain.confirm_chart(chart, actor=Actor(person=cast.owner))


# The form


def test_the_form_shows_a_chart_so_that_saving_it_unchanged_changes_nothing(cast, sign_in):
    rows = (
        Row(-6.7, 4.4, PlaceKind.STALL, Wetness.DRY, fill=FillWord.HEAVY, neck=True, note="n", picked=("call_me",)),
        Row(None, -6.7, tags=("LNR44", "WNR33")),
    )
    what = Written(rows, feels_like=True, tolerance_c=1.0, override=Override.MANAGER, note="Note")
    first = write(cast, cast.owners_horse, what)
    url = address("chart_change", cast, cast.owners_horse.pk)
    client = sign_in(cast.owner)
    data = typed(client, url, line0_common=["call_me"], line1_tags=["LNR44", "WNR33"], do="save")
    assert press_save(client, url, data) == 302
    now = domain.written(queries.current(cast.barn, cast.owners_horse))
    was = domain.written(first)
    assert (now.feels_like, now.override, now.note) == (was.feels_like, was.override, was.note)
    assert now.tolerance_c == pytest.approx(1.0, abs=0.01)
    for one, other in zip(sorted(now.rows, key=str), sorted(was.rows, key=str), strict=True):
        assert (one.tags, one.fill, one.neck, one.note, one.picked) == (
            other.tags,
            other.fill,
            other.neck,
            other.note,
            other.picked,
        )
        assert one.low == pytest.approx(other.low, abs=0.03)


@pytest.mark.parametrize(("units", "kept_c"), [(Units.US, 4.444444), (Units.METRIC, 40.0)])
def test_temperatures_are_typed_in_the_barns_units(cast, sign_in, units, kept_c):
    cast.barn.units = units
    cast.barn.save()
    url = address("house_chart_change", cast)
    client = sign_in(cast.manager)
    assert press_save(client, url, typed(client, url, **ONE_LINE, line0_below="40")) == 302
    assert ChartRow.objects.get().below_c == pytest.approx(kept_c, abs=1e-5)


def test_a_line_is_added_and_dropped_without_losing_what_was_typed(cast, sign_in):
    url = address("house_chart_change", cast)
    client = sign_in(cast.manager)
    data = typed(client, url, line0_from="40", line0_wear="light", line1_below="xyz", line2_note="last")
    more = client.post(url, {**data, "do": "add"})
    assert (more.status_code, more.context["form"].count) == (200, 4)
    assert more.context["form"]["line1_below"].value() == "xyz"
    less = client.post(url, {**data, "do": "drop-0"})
    form = less.context["form"]
    assert (form.count, form["line0_below"].value(), form["line1_note"].value()) == (2, "xyz", "last")
    assert not Chart.objects.exists()


@pytest.mark.parametrize("lines", ["", "0", "-3", "abc", "²", "9" * 5000, "400"])
def test_an_odd_number_of_lines_does_no_harm(cast, sign_in, lines):
    url = address("house_chart_change", cast)
    client = sign_in(cast.manager)
    data = typed(client, url, **ONE_LINE)
    for do in ("save", "add", "drop-0", "drop-99999999999", "drop-²", "nonsense", "look"):
        assert client.post(url, {**data, "lines": lines, "do": do}).status_code in (200, 302)


@pytest.mark.parametrize(
    ("fields", "at"),
    [
        ({"line0_wear": None, "line0_from": "40"}, "line0_wear"),
        ({"line0_from": "many"}, "line0_from"),
        ({"line0_from": "-90"}, "line0_from"),
        ({"line0_below": "300"}, "line0_below"),
        ({"line0_place": "stall", "line0_wet": "wet_or_windy"}, "line0_wet"),
        ({"line0_wear": "these"}, "line0_tags"),
        ({"line0_wear": "these", "line0_tags": ["WRN22", "WNR33"]}, "line0_tags"),
        ({"line0_wear": "these", "line0_tags": ["THR55"]}, "line0_tags"),
        ({"line0_wear": "tinfoil"}, "line0_wear"),
        ({"line0_common": ["nothing of ours"]}, "line0_common"),
        ({"tolerance": "10"}, "tolerance"),
        ({"remark": "x" * 301}, "remark"),
        ({"override": "the cat"}, "override"),
        ({"line0_wear": None, "line0_below": None}, "line0_wear"),
    ],
)
def test_a_bad_line_says_where(cast, sign_in, fields, at):
    url = address("chart_change", cast, cast.owners_horse.pk)
    client = sign_in(cast.owner)
    answer = client.post(url, typed(client, url, **{**ONE_LINE, **fields}))
    assert answer.status_code == 200
    assert at in answer.context["form"].errors
    assert not Chart.objects.exists()


def test_blankets_by_tag_are_the_horses_own_in_the_order_they_are_worn(cast, sign_in):
    url = address("chart_change", cast, cast.owners_horse.pk)
    client = sign_in(cast.owner)
    offered = [tag for tag, _words in client.get(url).context["form"].fields["line0_tags"].choices]
    assert sorted(offered) == ["LNR44", "WNR33", "WRN22"]
    client.post(url, typed(client, url, **{**ONE_LINE, "line0_wear": "these", "line0_tags": ["WNR33", "LNR44"]}))
    assert ChartRow.objects.get().tags == "LNR44 WNR33"


def test_the_house_chart_names_weights_only(cast, sign_in):
    form = sign_in(cast.manager).get(address("house_chart_change", cast)).context["form"]
    assert "line0_tags" not in form.fields
    assert "these" not in dict(form.fields["line0_wear"].choices)


def test_it_can_begin_with_the_house_chart(cast, sign_in):
    write(cast)
    url = address("chart_change", cast, cast.owners_horse.pk)
    form = sign_in(cast.owner).get(url + "?start=house").context["form"]
    assert (form.count, form["line1_wear"].value(), form["seen"].value()) == (3, "light", None)


def test_looking_at_it_saves_nothing_and_shows_gaps_in_words_and_drawn(cast, sign_in):
    url = address("chart_change", cast, cast.owners_horse.pk)
    client = sign_in(cast.owner)
    two = {"line0_wear": "medium", "line0_below": "30", "line1_wear": "nothing", "line1_from": "40"}
    answer = client.post(url, typed(client, url, **two, do="look"))
    assert not Chart.objects.exists()
    assert "Out, dry, 30 to 40\N{NO-BREAK SPACE}°F: no line says what to put on." in answer.context["faults"]
    assert [[box.text for box in one.lines if box.gap] for one in answer.context["drawings"]] == [["gap"]] * 3
    assert answer.content.decode().count("chart-gap") == 3


# Held against the heat balance


def test_a_weight_far_too_warm_is_said_with_what_would_do():
    """A clipped horse of 500 kg under a heavy blanket at 15 to 20 degC: beyond any band of the heat balance."""
    chart = matching.Chart((Row(15, 20, fill=FillWord.HEAVY), NONE))
    horse = HorseValue(mass_kg=500, clip=Clip.HUNTER)
    found = chart_bands.compare(chart, horse, Place())
    wrong = next(one for one in found.disagreements if one.row.fill and one.column[1] == Wetness.DRY)
    band = found.by_weight[wrong.column][FillWord.HEAVY]
    assert wrong.too_warm == pytest.approx(20 - band.high_c)
    assert wrong.too_cold == 0
    assert FillWord.HEAVY not in wrong.suits
    assert "too warm" in chart_drawing.disagreement(wrong, us=False)


def test_nothing_on_is_never_too_warm_and_too_cold_is_said():
    chart = matching.Chart((Row(-20, 30),))
    found = chart_bands.compare(chart, HorseValue(mass_kg=500, coat_depth_mm=10), Place())
    assert {(one.too_warm > 0, one.too_cold > 0) for one in found.disagreements} == {(False, True)}


def test_three_degrees_outside_is_still_agreement():
    horse = HorseValue(mass_kg=500)
    bands = chart_bands.compare(matching.Chart((LIGHT,)), horse, Place()).by_weight
    edge = bands[matching.COLUMNS[0]][FillWord.LIGHT].high_c

    def wrong(by):
        row = Row(edge - 1, edge + by, PlaceKind.TURNOUT, Wetness.DRY, fill=FillWord.LIGHT)
        return chart_bands.compare(matching.Chart((row,)), horse, Place()).disagreements

    assert not wrong(2.9)
    assert len(wrong(3.1)) == 1


def test_a_warmer_weight_has_a_lower_band_in_every_column():
    found = chart_bands.compare(matching.Chart((NONE, LIGHT, MEDIUM)), HorseValue(mass_kg=500), Place())
    assert list(found.by_weight) == list(matching.COLUMNS)
    for bands in found.by_weight.values():
        lows = [band.low_c for weight, band in bands.items() if weight]
        highs = [band.high_c for weight, band in bands.items() if weight]
        assert lows == sorted(lows, reverse=True)
        assert highs == sorted(highs, reverse=True)


def test_wet_and_windy_wants_more_than_dry():
    bands = chart_bands.compare(matching.Chart((NONE, MEDIUM)), HorseValue(mass_kg=500), Place()).by_weight
    dry, wet = (bands[PlaceKind.TURNOUT, wetness] for wetness in (Wetness.DRY, Wetness.WET_OR_WINDY))
    assert all(wet[weight].low_c > dry[weight].low_c for weight in dry)


def test_a_feels_like_chart_is_compared_in_feels_like():
    """-10 degC at 20 km/h feels like -18 (table of NWS and Environment Canada 2001, whole degrees, from memory)."""
    assert matching.feels_like_c(-10, 20 / 3.6) == pytest.approx(-18, abs=0.5)
    rows = (NONE, MEDIUM)
    column = (PlaceKind.TURNOUT, Wetness.WET_OR_WINDY)
    horse = HorseValue(mass_kg=500)
    air = chart_bands.compare(matching.Chart(rows), horse, Place()).by_weight[column]
    felt = chart_bands.compare(matching.Chart(rows, feels_like=True), horse, Place()).by_weight[column]
    for weight, band in air.items():
        assert felt[weight].low_c == pytest.approx(matching.feels_like_c(band.low_c, 6.0))


def test_blankets_by_tag_are_compared_as_they_are_worn_together(cast):
    from inventory.domain import snapshot

    write(cast, cast.owners_horse, Written((Row(-5, 30, tags=("LNR44", "WNR33")), Row(None, -5, fill=FillWord.HEAVY))))
    taken = snapshot.read(cast.barn, datetime.now(UTC), only=cast.owners_horse)
    subject = taken.subject(cast.owners_horse)
    found = chart_bands.compare(
        domain.written(queries.current(cast.barn, cast.owners_horse)).value,
        subject.value,
        subject.outdoors(),
        subject.wardrobe,
    )
    assert any(one.row.tags and one.too_warm > 3 for one in found.disagreements)


# On tonight's weather, and who decides


@pytest.fixture
def weather(cast):
    load_year(cast.barn, demo_year(), name="A year")


def tonight(cast, sign_in, person=None):
    page = sign_in(person or cast.owner).get(address("chart", cast, cast.owners_horse.pk))
    return page.context["tonight"]


def test_it_says_what_the_chart_and_what_the_computed_advice_say_of_tonight(cast, sign_in, weather):
    write(cast, cast.owners_horse, Written((Row(None, None, tags=("LNR44", "WNR33"), picked=("feel_under",)),)))
    found = tonight(cast, sign_in)
    assert found.chart_outfit == "LNR44 + WNR33"
    assert "LNR44 + WNR33" in found.chart.says
    assert "Feel under it for sweat." in found.chart.says
    assert found.chart.by == "The owner's chart decides."
    assert found.computed.title
    assert found.weather


def test_a_gap_for_tonight_is_said(cast, sign_in, weather):
    write(cast, cast.owners_horse, Written((Row(39, None),)))
    found = tonight(cast, sign_in)
    assert (found.chart, found.chart_outfit) == (None, "")
    assert found.computed


def test_without_weather_the_page_says_so(cast, sign_in):
    write(cast, cast.owners_horse)
    assert "weather" in tonight(cast, sign_in).why_not


def test_tonights_list_and_choose_say_who_decides_and_what_speaks_against_it(cast, sign_in):
    write(cast, cast.owners_horse, Written((Row(None, None, tags=("LNR44", "WNR33")),), override=Override.MANAGER))
    client, warm = (
        sign_in(cast.manager),
        {"asked": "1", "weather": "own", "air": "45", "wind": "calm", "falling": "dry"},
    )
    page = client.get(address("tonight", cast), warm)
    said = {row.line.horse.name: row.decided for row in page.context["rows"]}
    assert said["Bramble"].by == "The owner's chart decides."
    assert said["Bramble"].otherwise == "Only the manager may do otherwise."
    assert said["Dapple"].computed
    hot = client.get(address("tonight", cast), {**warm, "air": "70"}).context["rows"]
    refused = next(row.decided for row in hot if row.line.horse.name == "Bramble")
    assert refused.against[0].startswith("What it asks for is refused")
    assert refused.otherwise == "Staff may do otherwise, with a reason."
    shown = page.content.decode()
    assert "The owner&#x27;s chart decides." in shown
    chosen = client.get(address("choose", cast, cast.owners_horse.pk), warm).content.decode()
    assert "The owner&#x27;s chart decides." in chosen
    assert "Computed otherwise: it is too warm by up to" in chosen


ANYBODY = {(): "Nobody may do otherwise, not even the manager, unless the chart is changed first."}
ANYBODY |= {("manager",): "Only the manager may do otherwise."}
ANYBODY |= {("staff", "manager"): "Staff may do otherwise, with a reason."}


@pytest.mark.parametrize("override", Override)
@pytest.mark.parametrize("house_model", precedence.OBEYED)
@pytest.mark.parametrize("of", ["owners_horse", None])
def test_a_chart_says_of_who_may_do_otherwise_what_a_tap_finds(cast, sign_in, act, house_model, override, of):
    Barn.objects.filter(pk=cast.barn.pk).update(house_model=house_model)
    horse = getattr(cast, of) if of else None
    write(cast, horse, Written((Row(None, None, tags=("LNR44", "WNR33")),), override=override))
    line = line_of(cast)
    assert line.decided_by == ("owner" if of else "house")

    def may(who):
        try:
            lists.refuse_otherwise(line, act(getattr(cast, who)))
        except Refused:
            return False
        return True

    url = address("chart", cast, horse.pk) if horse else address("house_chart", cast)
    expected = ANYBODY[tuple(filter(may, ("staff", "manager")))]
    assert sign_in(cast.owner if horse else cast.manager).get(url).context["otherwise"] == expected


def test_a_chart_that_asks_for_what_is_refused_says_why_and_what_stands_instead(cast, sign_in):
    make.CareJobFactory(blanket=cast.owners_blanket, do_not_use=True, reported_by=cast.staff)
    write(cast, cast.owners_horse, Written((Row(None, None, tags=("LNR44", "WNR33")),)))
    cold = {"asked": "1", "weather": "own", "air": "10", "wind": "calm", "falling": "dry"}
    shown = sign_in(cast.staff).get(address("choose", cast, cast.owners_horse.pk), cold).content.decode()
    assert "What it asks for is refused: WNR33 is marked do not use" in shown


# What the pages say


def test_common_notes_are_in_the_readers_language_and_free_text_stays():
    row = Row(None, 0, fill=FillWord.HEAVY, note="like last year", picked=("feel_under", "gone"))
    assert chart_words.notes(row) == f"{ChartNote.FEEL_UNDER.label}; gone; like last year"


@pytest.mark.parametrize(
    ("row", "us", "words"),
    [
        (Row(-10, 5, fill=FillWord.HEAVY), False, "−10 to 5\N{NO-BREAK SPACE}°C, out and in, in any weather: heavy"),
        (Row(None, 0), True, "below 32\N{NO-BREAK SPACE}°F, out and in, in any weather: nothing on"),
        (
            Row(10, None, PlaceKind.STALL, tags=("AB2", "CD3")),
            False,
            "10\N{NO-BREAK SPACE}°C and above, in a stall: AB2 + CD3",
        ),
        (
            Row(None, None, PlaceKind.TURNOUT, Wetness.DRY, fill=FillWord.LIGHT, neck=True),
            True,
            "at any temperature, out, dry: light, neck on",
        ),
    ],
)
def test_a_line_in_words(row, us, words):
    assert chart_words.line(row, us=us) == words


def test_where_the_barn_decides_the_page_says_that_the_chart_is_not_followed(cast, sign_in):
    write(cast, cast.owners_horse)
    url = address("chart", cast, cast.owners_horse.pk)
    client = sign_in(cast.owner)
    assert "but not followed" not in client.get(url).content.decode()
    cast.barn.house_model = HouseModel.BARN_DECIDES
    cast.barn.save()
    assert "but not followed" in client.get(url).content.decode()


def test_wind_chill_is_said_to_be_of_a_bare_human_face(cast, sign_in):
    write(cast, cast.owners_horse, Written((NONE,), feels_like=True))
    for name, parts in (("chart", (cast.owners_horse.pk,)), ("chart_change", (cast.owners_horse.pk,)), ("charts", ())):
        assert "bare human face" in sign_in(cast.owner).get(address(name, cast, *parts)).content.decode()


def test_the_sheet_of_all_charts_shows_each_person_what_they_may_see(cast, sign_in):
    write(cast)
    for horse in (cast.owners_horse, cast.other_horse, cast.leased_horse):
        write(cast, horse)
    make.ChartFactory(barn=cast.other.barn, horse=cast.other.horse)

    def names(person):
        rows = sign_in(person).get(address("charts", cast)).context["rows"]
        return {str(row.chart.horse or "house") for row in rows}

    assert names(cast.staff) == {"house", "Bramble", "Dapple", "Ember"}
    assert names(cast.owner) == {"house", "Bramble"}
    assert names(cast.lessee) == {"house", "Ember"}


@pytest.mark.parametrize("count", [1, 3])
def test_the_sheet_costs_the_same_for_any_number_of_charts(cast, sign_in, django_assert_num_queries, count):
    for horse in (cast.owners_horse, cast.other_horse, cast.leased_horse)[:count]:
        write(cast, horse)
    client = sign_in(cast.manager)
    with django_assert_num_queries(5):
        client.get(address("charts", cast))


@pytest.mark.parametrize("count", [1, 3])
def test_a_charts_page_costs_the_same_for_any_number_of_lines_and_versions(
    cast, sign_in, django_assert_num_queries, count
):
    for number in range(count):
        rows = tuple(Row(edge, edge + 5, fill=FillWord.LIGHT) for edge in range(0, 5 * count, 5))
        write(cast, cast.owners_horse, Written(rows, note=f"Version {number}"))
    write(cast, cast.owners_horse, Written((NONE, LIGHT)[:count]))
    client = sign_in(cast.owner)
    with django_assert_num_queries(26):
        client.get(address("chart", cast, cast.owners_horse.pk))


@pytest.mark.parametrize("name", ["chart", "house_chart"])
def test_without_a_chart_the_next_step_is_offered_to_who_may(cast, sign_in, name):
    parts = (cast.owners_horse.pk,) if name == "chart" else ()
    assert "Write a chart" in sign_in(cast.manager).get(address(name, cast, *parts)).content.decode()
    assert "Write a chart" not in sign_in(cast.staff).get(address(name, cast, *parts)).content.decode()


# What is asked before a chart is saved, and how its page speaks


GAP = {"line0_wear": "medium", "line0_below": "40", "line1_wear": "nothing", "line1_from": "50", "do": "save"}


def test_a_gap_is_asked_about_first_and_the_second_press_saves(cast, sign_in):
    client, url = sign_in(cast.owner), address("chart_change", cast, cast.owners_horse.pk)
    sending = typed(client, url, **GAP)
    asked = client.post(url, sending)
    page = asked.content.decode()
    assert "Out, dry, 40 to 50\xa0°F: no line says what to put on." in page
    assert "Save it so?" in page
    assert queries.current(cast.barn, cast.owners_horse) is None
    kept = {name: asked.context["form"][name].value() for name in ("line0_below", "line1_from", "line1_wear")}
    assert kept == {"line0_below": "40", "line1_from": "50", "line1_wear": "nothing"}
    again = {**sending, "accepted": asked.context["form"]["accepted"].value()}
    assert client.post(url, again).status_code == 302
    assert len(domain.written(queries.current(cast.barn, cast.owners_horse)).rows) == 2


def test_what_was_accepted_is_not_what_stands_there_now(cast, sign_in):
    client, url = sign_in(cast.owner), address("chart_change", cast, cast.owners_horse.pk)
    accepted = client.post(url, typed(client, url, **GAP)).context["form"]["accepted"].value()
    overlap = typed(client, url, **{**GAP, "line1_from": "30", "accepted": accepted})
    page = client.post(url, overlap).content.decode()
    assert "30 to 40\xa0°F: more than one line speaks" in page
    assert queries.current(cast.barn, cast.owners_horse) is None


@pytest.mark.parametrize(
    ("house_units", "wanted", "never"),
    [
        (Units.US, ("13\xa0mph", "4\xa0mph", "0.04 in of rain", "1102\xa0lb"), ("m/s", "1 mm", "500 kg")),
        (Units.METRIC, ("22\xa0km/h", "7\xa0km/h", "1.0 mm of rain", "500\xa0kg"), ("m/s", "mph", "lb")),
    ],
)
def test_the_page_speaks_in_the_barns_units(cast, sign_in, house_units, wanted, never):
    cast.barn.units = house_units
    cast.barn.save()
    write(cast)
    page = sign_in(cast.manager).get(address("house_chart", cast)).content.decode().partition("<main")[2]
    assert [words for words in wanted if words not in page] == []
    assert [words for words in never if words in page] == []
