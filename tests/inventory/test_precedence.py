"""Who decides, in order, and what speaks against it (the order is common practice, no source)."""

from datetime import UTC, date, datetime, timedelta

import pytest

from barnrugs.barns.models.barn import HouseModel
from barnrugs.matching import choose
from barnrugs.matching.horse import Horse as HorseValue
from barnrugs.matching.outfit import Blanket
from barnrugs.matching.weather import Hour, Place, Stay
from barnrugs.matching.words import Clip, Kind, Waterproofing
from horses.enums import VetSays
from inventory.domain.precedence import Against, decide
from inventory.enums import DecidedBy
from tests import factories as make

pytestmark = pytest.mark.django_db
TODAY = date(2026, 1, 15)


def turnout(tag, fill):
    return Blanket(tag, Kind.TURNOUT, 78, fill_g=fill, denier=1200, waterproofing=Waterproofing.WATERPROOF)


STABLE = Blanket("STAB1", Kind.STABLE, 78, fill_g=200, denier=600)
WARDROBE = (turnout("LIGHT", 100), turnout("MEDIU", 200), turnout("HEAVY", 300), STABLE)


def advice(air_c=-2.0, rain=0.0, blankets=WARDROBE):
    start = datetime(2026, 1, 15, 6, tzinfo=UTC)
    hours = tuple(Hour(start + timedelta(hours=number), air_c, 2.0, precip_mm=rain) for number in range(4))
    horse = HorseValue(mass_kg=500, coat_depth_mm=15, clip=Clip.TRACE, chest_to_tail_in=78, measured_days_ago=5)
    return choose.choose(horse, Stay(hours, Place()), blankets)


def horse(**fields):
    return make.HorseFactory(**fields)


def chart_for(animal=None, *rows):
    chart = make.ChartFactory(barn=animal.barn if animal else make.BarnFactory(), horse=animal)
    for order, fields in enumerate(rows):
        make.ChartRowFactory(chart=chart, order=order, **fields)
    return chart


def decided(animal, given, *, owners=None, house=None, model=HouseModel.STAFF_ADJUST):
    return decide(animal, given, owners=owners, house=house, house_model=model, day=TODAY)


def test_without_note_or_chart_the_computed_advice_decides():
    given = advice()
    decision = decided(horse(), given)
    assert (decision.by, decision.outfit) == (DecidedBy.COMPUTED, given.chosen)


def test_the_owners_chart_goes_before_the_house_chart_and_both_before_the_computed():
    animal = horse()
    owners, house = chart_for(animal, {"fill": "heavy"}), chart_for(None, {"fill": "light"})
    assert decided(animal, advice(), owners=owners, house=house).outfit.tags == ("HEAVY",)
    assert decided(animal, advice(), house=house).outfit.tags == ("LIGHT",)


def test_where_the_barn_decides_the_owners_chart_is_not_read():
    animal = horse()
    owners = chart_for(animal, {"fill": "heavy"})
    decision = decided(animal, advice(), owners=owners, model=HouseModel.BARN_DECIDES)
    assert decision.by == DecidedBy.COMPUTED


def test_the_veterinarians_note_goes_before_everything_until_its_day():
    animal = horse(vet_says=VetSays.NOTHING_ON, vet_until=TODAY, vet_note="Skin treatment")
    owners = chart_for(animal, {"fill": "heavy"})
    decision = decided(animal, advice(), owners=owners)
    assert (decision.by, decision.outfit.tags, decision.keeper_says) == (DecidedBy.VET, (), "Skin treatment")
    animal.vet_until = TODAY - timedelta(days=1)
    assert decided(animal, advice(), owners=owners).by == DecidedBy.OWNER


def test_at_least_so_many_grams_takes_the_best_of_that_weight():
    decision = decided(horse(vet_says=VetSays.AT_LEAST, vet_fill_g=250), advice(air_c=4))
    assert decision.outfit.outfit.fill_g >= 250


def test_no_advice_gives_none():
    decision = decided(horse(vet_says=VetSays.NO_ADVICE, vet_note="Call me first"), advice())
    assert (decision.by, decision.outfit) == (DecidedBy.VET, None)


def test_a_refused_blanket_is_never_the_answer_and_the_refusal_is_shown():
    animal = horse()
    decision = decided(animal, advice(rain=2.0), owners=chart_for(animal, {"tags": "STAB1"}))
    assert decision.outfit.refused is None
    assert "STAB1" not in decision.outfit.tags
    assert decision.by == DecidedBy.OWNER
    assert [objection.kind for objection in decision.against] == [Against.REFUSED]
    assert "STAB1" in decision.against[0].reason.text


def test_a_weight_that_is_not_here_says_so():
    animal = horse()
    decision = decided(animal, advice(blankets=(turnout("LIGHT", 100),)), owners=chart_for(animal, {"fill": "heavy"}))
    assert [objection.kind for objection in decision.against] == [Against.NOT_HERE]


def test_more_than_three_degrees_outside_the_band_is_a_contradiction():
    animal = horse()
    heavy = decided(animal, advice(air_c=12), owners=chart_for(animal, {"fill": "heavy"}))
    assert [objection.kind for objection in heavy.against] == [Against.TOO_WARM]
    assert heavy.outfit.tags == ("HEAVY",)
    assert heavy.against[0].degrees_c > 3
    other = horse()
    bare = decided(other, advice(air_c=-15), owners=chart_for(other, {}))
    assert [objection.kind for objection in bare.against] == [Against.TOO_COLD]


def test_within_the_tolerance_the_line_that_nothing_speaks_against_is_taken():
    animal = horse()
    chart = chart_for(animal, {"below_c": -1.5, "tags": "STAB1"}, {"from_c": -1.5, "fill": "medium"})
    chart.tolerance_c = 1.0
    decision = decided(animal, advice(air_c=-2, rain=2.0), owners=chart)
    assert decision.outfit.tags == ("MEDIU",)
    assert decision.against == ()


def test_a_gap_in_the_chart_leaves_it_to_the_next_that_decides():
    animal = horse()
    assert decided(animal, advice(), owners=chart_for(animal, {"from_c": 20, "fill": "light"})).by == DecidedBy.COMPUTED


def test_a_horse_that_must_be_covered_is_covered_when_it_may_rain_whatever_its_chart_says():
    animal = horse(must_be_covered=True)
    owners = chart_for(animal, {})
    assert decided(animal, advice(air_c=12, rain=1.0), owners=owners).outfit.tags
    assert decided(animal, advice(air_c=12), owners=owners).outfit.tags == ()
    none_here = decided(animal, advice(air_c=12, rain=1.0, blankets=()), owners=owners)
    assert [objection.kind for objection in none_here.against] == [Against.NOT_HERE]
