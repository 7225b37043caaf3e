"""What the matching is told about a barn, and that telling it takes the same number of queries for any barn."""

from datetime import time, timedelta

import pytest

from barnrugs.matching import words
from horses.enums import Clip, OutPlan
from horses.models import Horse
from inventory.domain import snapshot
from tests import factories as make
from tests.cast import NOW

pytestmark = pytest.mark.django_db


def subject_of(cast, horse):
    return snapshot.read(cast.barn, NOW).subject(horse)


def tags(subject):
    return {blanket.tag: blanket for blanket in subject.wardrobe}


def test_reading_a_barn_takes_the_same_queries_for_any_number(cast, django_assert_num_queries):
    with django_assert_num_queries(13):
        snapshot.read(cast.barn, NOW)
    for number in range(5):
        horse = make.HorseFactory(barn=cast.barn, name=f"Extra {number}")
        make.MeasurementFactory(horse=horse)
        make.PaddockStayFactory(horse=horse, paddock=cast.paddock)
        make.BlanketFactory.create_batch(3, barn=cast.barn, usual_horse=horse, owner=cast.owner)
    with django_assert_num_queries(13):
        snapshot.read(cast.barn, NOW)


def test_the_wardrobe_is_its_own_the_barns_and_what_there_is_leave_for(cast):
    own = tags(subject_of(cast, cast.owners_horse))
    assert cast.other_blanket.tag not in own
    assert cast.other.blanket.tag not in own
    assert own[cast.worn.tag].mine
    assert not own[cast.barn_blanket.tag].mine
    borrowed = tags(subject_of(cast, cast.staff_owners_horse))
    assert borrowed[cast.owners_blanket.tag].allowed
    assert not borrowed[cast.owners_blanket.tag].mine


def test_a_blanket_worn_without_leave_is_known_but_not_allowed(cast):
    make.WearingFactory(blanket=cast.other_blanket, horse=cast.barn_horse, on_by=cast.staff)
    assert not tags(subject_of(cast, cast.barn_horse))[cast.other_blanket.tag].allowed


def test_a_paddock_mate_that_chews_counts_for_all_in_the_paddock(cast):
    assert not subject_of(cast, cast.owners_horse).companions_chew
    Horse.objects.filter(pk=cast.other_horse.pk).update(chews_others=True)
    assert subject_of(cast, cast.owners_horse).companions_chew
    assert not subject_of(cast, cast.other_horse).companions_chew
    assert subject_of(cast, cast.owners_horse).value.alone is False


def test_coat_and_clip_come_from_the_latest_records_and_the_date(cast):
    horse, today = cast.barn_horse, NOW.date()
    make.CoatFactory(horse=horse, on=today - timedelta(days=200), clip=Clip.NONE, depth_mm=6)
    make.CoatFactory(horse=horse, on=today - timedelta(days=1), clip=Clip.TRACE, clipped_now=True, depth_mm=None)
    value = subject_of(cast, horse).value
    assert value.clip == words.Clip.TRACE
    assert value.clip_depth_mm == pytest.approx(2.0, abs=0.1)


def test_what_nobody_recorded_is_assumed_and_said(cast):
    foundling = make.HorseFactory(barn=cast.barn, name="Foundling", mass_kg=None, birth_year=None)
    subject = subject_of(cast, foundling)
    assert subject.assumed == ("mass", "condition", "size", "age")
    assert (subject.value.mass_kg, subject.value.bcs) == (500, 5)


def test_mass_by_tape_stands_in_for_the_scale(cast):
    """180 cm girth, 160 cm length: 180^2 x 160 / 11877 = 436.5 kg (Carroll & Huntington 1988)."""
    taped = make.HorseFactory(barn=cast.barn, name="Taped", mass_kg=None)
    make.MeasurementFactory(horse=taped, girth_cm=180, body_length_cm=160)
    assert subject_of(cast, taped).value.mass_kg == pytest.approx(436.5, abs=0.1)


@pytest.mark.parametrize(
    ("plan", "hour", "kind"),
    [
        (OutPlan.DAY, 12, "turnout"),
        (OutPlan.DAY, 20, "stall"),
        (OutPlan.NIGHT, 12, "stall"),
        (OutPlan.NIGHT, 2, "turnout"),
        (OutPlan.ALWAYS, 3, "turnout"),
        (OutPlan.IN, 12, "stall"),
    ],
)
def test_where_a_horse_stands_follows_its_turnout(cast, plan, hour, kind):
    Horse.objects.filter(pk=cast.owners_horse.pk).update(out_plan=plan)
    local = NOW.astimezone(cast.barn.zone).replace(hour=hour)
    place = subject_of(cast, cast.owners_horse).place_at(cast.barn, local)
    assert place.kind == kind
    assert place.indoor_gain_c == (cast.barn.indoor_gain_c if kind == "stall" else 0)


def test_its_own_times_go_before_the_paddocks(cast):
    Horse.objects.filter(pk=cast.owners_horse.pk).update(out_plan=OutPlan.DAY, out_from=time(10), out_until=time(11))
    subject = subject_of(cast, cast.owners_horse)
    local = NOW.astimezone(cast.barn.zone)
    assert subject.place_at(cast.barn, local.replace(hour=10)).kind == "turnout"
    assert subject.place_at(cast.barn, local.replace(hour=12)).kind == "stall"


def test_a_horse_that_is_away_is_left_out(cast):
    Horse.objects.filter(pk=cast.barn_horse.pk).update(presence="away")
    assert cast.barn_horse not in [subject.horse for subject in snapshot.read(cast.barn, NOW).subjects]


def test_a_mate_that_leaves_later_still_counts_today(cast):
    """A move that is planned ends a stay on a day to come; until then the company is what it is."""
    stay = cast.other_horse.stays.get()
    stay.until = NOW.date() + timedelta(days=20)
    stay.save(update_fields=["until"])
    Horse.objects.filter(pk=cast.other_horse.pk).update(chews_others=True)
    assert subject_of(cast, cast.owners_horse).companions_chew


def test_a_stall_has_the_barns_gain_and_turnout_the_horses_own_paddock(cast):
    from barnrugs.matching.words import PlaceKind

    subject = subject_of(cast, cast.owners_horse)
    assert subject.place(PlaceKind.STALL, cast.barn).indoor_gain_c == cast.barn.indoor_gain_c == 8
    assert subject.place(PlaceKind.TURNOUT, cast.barn).shelter == cast.paddock.shelter
