"""Lists of the staffed times: made once, worked off, taken back, never overwriting what somebody did."""

from datetime import UTC, datetime, timedelta

import pytest

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.models import JournalEntry
from barnrugs.barns.models.barn import USUAL_TIMES, Session
from barnrugs.weather.models import WeatherHour
from horses.models import Coat, Horse
from inventory.domain import lists, sessions, wearing
from inventory.domain.advice import Conditions
from inventory.models import Blanket, ChangeList, ListLine
from inventory.queries import wearings
from tests import factories as make
from tests.cast import NOW
from tests.inventory import lists as pages
from tests.inventory.sending import address

pytestmark = pytest.mark.django_db
COLD = Conditions(air_c=-12, wind_10m_ms=4)


@pytest.fixture
def made(cast):
    return lists.ensure(cast.barn, sessions.at_hand(cast.barn, NOW), at=NOW, conditions=COLD)


def line_of(made, horse):
    return ListLine.objects.get(change_list=made, horse=horse)


def tags_on(horse):
    return [worn.blanket.tag for worn in wearings.open_on(horse)]


def changing(made):
    return next(line for line in ListLine.objects.filter(change_list=made) if line.tags_to != line.tags_from)


@pytest.mark.parametrize(
    ("clock", "session"),
    [
        (4, Session.NIGHT_CHECK),
        (6, Session.TURNOUT),
        (9, Session.TURNOUT),
        (10, Session.MIDDAY),
        (15, Session.BRING_IN),
    ],
)
def test_the_list_at_hand_is_the_last_that_is_due_or_due_within_two_hours(clock, session):
    barn = make.BarnFactory()
    at = datetime(2026, 1, 15, clock, tzinfo=barn.zone)
    assert sessions.at_hand(barn, at).session == session


def test_what_goes_on_at_turnout_stays_on_until_bring_in_across_the_clock_change():
    """On 8 March 2026 clocks in Anchorage go forward (tz database)."""
    barn = make.BarnFactory()
    slot = sessions.slot(barn, datetime(2026, 3, 7).date(), Session.NIGHT_CHECK)  # noqa: DTZ001
    assert slot.until - slot.due_at == timedelta(hours=9)


def test_a_list_has_a_line_for_every_horse_that_is_here_in_walking_order(cast, made):
    Horse.objects.filter(pk=cast.barn_horse.pk).update(presence="laid_up")
    here = list(Horse.objects.filter(barn=cast.barn).order_by("walk_order", "name").values_list("pk", flat=True))
    assert list(made.lines.values_list("horse", flat=True)) == here
    next_slot = sessions.coming(cast.barn, NOW)[1]
    later = lists.ensure(cast.barn, next_slot, at=NOW, conditions=COLD)
    assert cast.barn_horse.pk not in later.lines.values_list("horse", flat=True)


def test_a_list_is_made_once(cast, made):
    again = lists.ensure(cast.barn, sessions.at_hand(cast.barn, NOW), at=NOW, conditions=Conditions(20, 1))
    assert again == made
    assert ChangeList.objects.filter(barn=cast.barn).count() == 1


def test_without_weather_there_is_no_list_and_a_reason(cast):
    with pytest.raises(Refused, match="no weather file"):
        lists.ensure(cast.barn, sessions.at_hand(cast.barn, NOW), at=NOW)
    assert not ChangeList.objects.exists()


def test_done_changes_what_the_horse_wears_and_stands_in_the_journal(cast, made, act):
    line = changing(made)
    lists.mark_done(line, actor=act(cast.staff))
    assert tags_on(line.horse) == line.tags_to
    line.refresh_from_db()
    assert (line.outcome, line.done_by) == ("done", cast.staff)
    assert JournalEntry.objects.latest("pk").action == "line_done"


def test_the_second_to_tap_is_told_who_was_first(cast, made, act):
    line = changing(made)
    lists.mark_done(line, actor=act(cast.staff))
    with pytest.raises(Refused, match=f"{cast.staff} noted .Done. for {line.horse}"):
        lists.mark_not_done(line, why="too busy", actor=act(cast.manager))


def test_other_and_not_done_want_a_reason(cast, made, act):
    line = changing(made)
    with pytest.raises(Refused, match="Say why"):
        lists.mark_not_done(line, why="", actor=act(cast.staff))
    with pytest.raises(Refused, match="Say why"):
        lists.mark_other(line, to=[], why="", actor=act(cast.staff))
    lists.mark_other(line, to=[], why="Felt warm", actor=act(cast.staff))
    assert tags_on(line.horse) == []


def test_a_mis_tap_is_taken_back_with_a_new_entry(cast, made, act):
    line = changing(made)
    before, entries = tags_on(line.horse), JournalEntry.objects.count()
    lists.mark_done(line, actor=act(cast.staff))
    lists.take_back(line, actor=act(cast.staff))
    assert tags_on(line.horse) == before
    line.refresh_from_db()
    assert line.outcome == ""
    assert JournalEntry.objects.count() > entries + 1
    lists.mark_done(line, actor=act(cast.staff))
    assert tags_on(line.horse) == line.tags_to


def test_a_blanket_that_a_mis_tap_took_off_has_been_on_since_it_first_went_on(cast, made, act):
    line = line_of(made, cast.owners_horse)
    since = wearings.open_on(line.horse).get().on_at
    for _ in range(2):
        lists.mark_other(line, to=[], why="Felt warm", actor=act(cast.staff))
        lists.take_back(line, actor=act(cast.staff))
    worn = wearings.open_on(line.horse).get()
    assert worn.on_at > since
    assert worn.since == since


def test_what_was_changed_since_is_not_taken_back(cast, made, act):
    line = changing(made)
    lists.mark_done(line, actor=act(cast.staff))
    wearing.change(line.horse, to=[], actor=act(cast.manager))
    with pytest.raises(Refused, match="changed again since"):
        lists.take_back(line, actor=act(cast.staff))


def test_all_done_here_leaves_out_what_cannot_be_done(cast, made, act):
    lines = [line for line in made.lines.all() if line.tags_to]
    stuck = next(line for line in lines if line.tags_to != line.tags_from)
    blanket = lists._blankets(cast.barn, stuck.tags_to)[0]
    make.CareJobFactory(blanket=blanket, do_not_use=True, reported_by=cast.staff)
    done, left = lists.mark_rest_done(made, shown=dict.fromkeys([line.pk for line in lines], ""), actor=act(cast.staff))
    assert {line.pk for line in done} == {line.pk for line in lines} - {stuck.pk}
    assert [(line.pk, "do not use" in why) for line, why in left] == [(stuck.pk, True)]


def test_making_it_anew_keeps_what_is_done(cast, made, act):
    from barnrugs.weather.domain.source import load_year
    from barnrugs.weather.overlay import demo_year

    line = changing(made)
    lists.mark_done(line, actor=act(cast.staff))
    load_year(cast.barn, demo_year(), name="A year")
    lists.make_anew(made, actor=act(cast.staff), at=NOW)
    line.refresh_from_db()
    assert line.outcome == "done"
    made.refresh_from_db()
    assert made.weather["source"] == "A year"


def test_too_warm_by_noon_is_taken_off_at_the_midday_list(cast):
    """Good practice dresses for the whole turnout; somebody must take it off at noon (common practice, no source)."""
    from dataclasses import replace

    from barnrugs.matching.weather import Hour
    from inventory.domain import advice, snapshot

    for session in (Session.TURNOUT, Session.MIDDAY, Session.BRING_IN):
        make.StaffedTimeFactory(barn=cast.barn, session=session, at=USUAL_TIMES[session])
    slot = sessions.slot(cast.barn, datetime(2026, 1, 15, tzinfo=UTC).date(), Session.TURNOUT)
    airs = [-10, -9, -7, -2, 3, 12, 14, 14, 12]
    hours = tuple(Hour(slot.due_at + timedelta(hours=n), air, 1.0, irradiance_wm2=0) for n, air in enumerate(airs))
    taken = snapshot.read(cast.barn, NOW)
    found = advice.advise_barn(taken, advice.Weather(hours))
    at = {lists._take_off_at(line, taken, slot) for line in found.lines if line.given and line.given.tags}
    noon = sessions.slot(cast.barn, slot.day, Session.MIDDAY).due_at
    assert at <= {None, noon}
    warm = [replace(line, given=_heaviest(line)) for line in found.lines if _heaviest(line)]
    assert {lists._take_off_at(line, taken, slot) for line in warm} == {noon}


@pytest.fixture
def warm_by_noon(cast):
    """15 January in the barn's zone: -10 degC until 11:00, 19 degC from 12:00 on, calm, dry and overcast."""
    for session in (Session.TURNOUT, Session.MIDDAY, Session.BRING_IN):
        make.StaffedTimeFactory(barn=cast.barn, session=session, at=USUAL_TIMES[session])
    source = make.WeatherSourceFactory(barn=cast.barn)
    midnight = datetime(2000, 1, 15, 9, tzinfo=UTC)
    for hour in range(48):
        WeatherHour.objects.create(
            source=source,
            time=midnight + timedelta(hours=hour),
            air_c=-10 if hour < 12 else 19,
            wind_10m_ms=1,
            rh=0.7,
            precip_mm=0,
        )
    Horse.objects.filter(barn=cast.barn).update(out_plan="day")
    Coat.objects.filter(horse__barn=cast.barn).update(clip="full")
    return cast


def test_take_off_at_noon_is_a_line_of_the_midday_list(warm_by_noon, act):
    """One dresses for the whole turnout; somebody takes it off when it gets too warm (common practice, no source)."""
    cast = warm_by_noon
    day = datetime(2026, 1, 15).date()  # noqa: DTZ001
    turnout, midday = (sessions.slot(cast.barn, day, one) for one in (Session.TURNOUT, Session.MIDDAY))
    morning = line_of(lists.ensure(cast.barn, turnout, at=turnout.due_at - timedelta(hours=1)), cast.owners_horse)
    assert morning.tags_to
    assert morning.take_off_at == midday.due_at
    lists.mark_done(morning, actor=act(cast.staff, now=turnout.due_at))
    noon = line_of(lists.ensure(cast.barn, midday, at=midday.due_at - timedelta(hours=1)), cast.owners_horse)
    assert noon.tags_from == morning.tags_to
    fill = dict(Blanket.objects.filter(barn=cast.barn).values_list("tag", "fill_g"))
    assert sum(fill[tag] for tag in noon.tags_to) < sum(fill[tag] for tag in noon.tags_from)
    assert noon.verdict == "wear"


def _heaviest(line):
    worn = [one for one in line.advice.outfits if one.tags and one.refused is None and one.outfit.fill_g >= 200]
    return max(worn, key=lambda one: one.outfit.fill_g, default=None)


OF_NOW, OF_BEFORE = "Dapple kicks tonight", "Ember coughed"
SHORT = "Bramble goes short: Dapple wears the only one."


@pytest.mark.parametrize(
    ("who", "reads"), [("owner", False), ("staff", True), ("manager", True), ("staff_owner", True)]
)
def test_what_speaks_of_others_is_for_those_who_see_whole_lists(cast, sign_in, who, reads):
    """The notes of the shifts, and which other horse has what one lacks."""
    made = pages.make_list(cast)
    ChangeList.objects.filter(pk=made.pk).update(note=OF_NOW, note_by=cast.staff)
    due_at, day = made.due_at - timedelta(hours=4), made.day
    make.ChangeListFactory(barn=cast.barn, day=day, session="midday", due_at=due_at, note=OF_BEFORE, note_by=cast.staff)
    line = pages.line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(reasons=[*line.reasons, {"short": SHORT}])
    client = sign_in(getattr(cast, who))
    at = (made.day.isoformat(), made.session)
    expected = {
        address("change_list", *at): [OF_NOW, OF_BEFORE, SHORT],
        address("list_paper", *at): [OF_NOW, OF_BEFORE],
        address("line", line.pk): [SHORT],
    }
    for url, words in expected.items():
        page = client.get(url).content.decode()
        assert [one for one in (OF_NOW, OF_BEFORE, SHORT) if one in page] == (words if reads else [])
