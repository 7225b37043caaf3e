"""The barn's list for tonight and one horse's Choose page."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.models.barn import Units
from horses.models import Horse
from inventory.domain import sessions
from inventory.models import ListLine
from tests import factories as make
from tests.inventory.lists import line_of

pytestmark = pytest.mark.django_db
COLD = {"asked": "1", "weather": "own", "air": "5", "wind": "breezy", "falling": "dry", "place": "turnout"}


def tonight(cast):
    return reverse("tonight", args=[cast.barn.slug])


def choose(cast, horse):
    return reverse("choose", args=[cast.barn.slug, horse.pk])


def names(answer):
    return [row.line.horse.name for row in answer.context["rows"]]


def given(answer):
    return [tag for row in answer.context["rows"] for tag in row.line.given.tags]


def test_without_conditions_or_a_weather_file_the_page_asks_for_them(cast, sign_in):
    answer = sign_in(cast.staff).get(tonight(cast))
    assert answer.status_code == 200
    assert answer.context["rows"] == []
    assert b"Enter the conditions" in answer.content


def test_everybody_that_is_here_gets_one_answer_with_reasons(cast, sign_in):
    answer = sign_in(cast.staff).get(tonight(cast), COLD)
    assert set(names(answer)) == {"Bramble", "Cinder", "Dapple", "Ember", cast.barn_horse.name}
    assert all(row.shown.warmth for row in answer.context["rows"])


def test_no_blanket_is_given_twice(cast, sign_in):
    for number in range(6):
        make.MeasurementFactory(horse=make.HorseFactory(barn=cast.barn, name=f"Spare taker {number}"))
    tags = given(sign_in(cast.staff).get(tonight(cast), COLD | {"air": "-20"}))
    assert tags
    assert len(tags) == len(set(tags))


def test_an_owner_sees_the_lines_of_their_own_horses(cast, sign_in):
    answer = sign_in(cast.owner).get(tonight(cast), COLD)
    assert names(answer) == ["Bramble"]
    assert b"Dapple" not in answer.content


def test_fahrenheit_is_read_in_a_barn_that_thinks_in_it(cast, sign_in):
    """-40 is the same in both; 32 degF is 0 degC."""
    cast.barn.units = Units.US
    cast.barn.save(update_fields=["units"])
    answer = sign_in(cast.staff).get(tonight(cast), COLD | {"air": "32"})
    assert {hour.air_c for hour in answer.context["weather"].hours} == {0.0}
    cast.barn.units = Units.METRIC
    cast.barn.save(update_fields=["units"])
    answer = sign_in(cast.staff).get(tonight(cast), COLD | {"air": "-7"})
    assert {hour.air_c for hour in answer.context["weather"].hours} == {-7.0}


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("air", "chilly", "Write a number."),
        ("air", "", "How warm or cold will it be?"),
        ("air", "nan", "Write a number."),
        ("air", "999", "The advice is only given between"),
        ("humidity", "140", "At most 100."),
        ("hours", "0", "At least 1."),
        ("wind_figure", "400", "In such a storm no advice is given"),
        ("wind", "hurricane", "Choose one of those shown."),
    ],
)
def test_bad_conditions_get_a_sentence_and_keep_what_was_typed(cast, sign_in, field, typed, sentence):
    answer = sign_in(cast.staff).get(tonight(cast), COLD | {field: typed})
    assert answer.status_code == 200
    assert sentence in answer.context["form"].errors[field][0]
    if field != "wind":
        assert f'value="{typed}"'.encode() in answer.content
    assert answer.context["rows"] == []


def test_choose_ranks_outfits_and_draws_the_band_with_its_words(cast, sign_in):
    answer = sign_in(cast.staff).get(choose(cast, cast.owners_horse), COLD)
    shown = [each for each, _drawing in answer.context["outfits"]]
    assert shown
    assert answer.content.count(b'<figure class="band">') == len(shown)
    assert all(drawing.words in answer.content.decode() for _each, drawing in answer.context["outfits"])
    assert min(("wear", "caution", "no").index(each.verdict) for each in shown) == (
        ("wear", "caution", "no").index(shown[0].verdict)
    )


def test_choose_advises_nothing_where_the_veterinarian_says_so(cast, sign_in):
    """What staff need all the same goes on by its tag."""
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_says="no_advice", vet_note="Call me first")
    answer = sign_in(cast.staff).get(choose(cast, cast.owners_horse), COLD)
    page = answer.content.decode()
    assert answer.context["outfits"] == []
    assert "left_out" not in answer.context
    assert "Call me first" in page
    assert f"/horses/{cast.owners_horse.pk}/wear/" in page
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_until="2020-01-01")
    assert sign_in(cast.staff).get(choose(cast, cast.owners_horse), COLD).context["outfits"]


@pytest.mark.parametrize(("days", "said"), [(1, True), (0, True), (-1, False)])
def test_a_veterinarians_note_is_said_to_stand_above_until_its_last_day_is_over(cast, sign_in, days, said):
    until = timezone.localdate(timezone=cast.barn.zone) + timedelta(days=days)
    words = {"vet_says": "at_least", "vet_fill_g": 200, "vet_note": "Keep it covered", "vet_until": until}
    Horse.objects.filter(pk=cast.owners_horse.pk).update(**words)
    client = sign_in(cast.staff)
    chart = reverse("chart", args=[cast.barn.slug, cast.owners_horse.pk])
    pages = [client.get(url, COLD) for url in (tonight(cast), choose(cast, cast.owners_horse), chart)]
    assert ["Keep it covered" in page.content.decode() for page in pages] == [said] * 3


def test_choose_says_why_a_blanket_is_refused(cast, sign_in):
    small = make.BlanketFactory(barn=cast.barn, usual_horse=cast.owners_horse, owner=cast.owner, size_in=60)
    answer = sign_in(cast.staff).get(choose(cast, cast.owners_horse), COLD)
    reasons = {layer.tag: reason for layer, reason in answer.context["left_out"]}
    assert "too small" in reasons[small.tag]


def test_the_lists_queries_do_not_grow_with_horses_or_blankets(cast, sign_in, django_assert_num_queries):
    client = sign_in(cast.staff)
    with django_assert_num_queries(20):
        client.get(tonight(cast), COLD)
    for number in range(4):
        horse = make.HorseFactory(barn=cast.barn, name=f"More {number}")
        make.MeasurementFactory(horse=horse)
        make.BlanketFactory.create_batch(3, barn=cast.barn, usual_horse=horse, owner=cast.owner)
    with django_assert_num_queries(20):
        client.get(tonight(cast), COLD)


def test_one_blanket_is_never_given_to_two_horses_by_their_charts(cast, sign_in):
    for animal in (cast.barn_horse, cast.other_horse):
        make.ChartRowFactory(chart=make.ChartFactory(barn=cast.barn, horse=animal), tags=cast.barn_blanket.tag)
    answer = sign_in(cast.staff).get(tonight(cast), COLD)
    lines = {row.line.horse: row.line for row in answer.context["rows"]}
    given_it = [animal for animal in lines if cast.barn_blanket.tag in lines[animal].given.tags]
    assert len(given_it) == 1
    other = {cast.barn_horse: cast.other_horse, cast.other_horse: cast.barn_horse}[given_it[0]]
    assert [objection.kind for objection in lines[other].decision.against] == ["not_here"]
    assert "not_here" not in [objection.kind for objection in lines[given_it[0]].decision.against]


def test_choose_says_for_which_hours_and_where_the_horse_stands(cast, sign_in):
    client = sign_in(cast.staff)
    outside = client.get(choose(cast, cast.owners_horse), COLD).content.decode()
    assert "Outside all the time." in outside
    inside = client.get(choose(cast, cast.owners_horse), COLD | {"place": "stall"}).content.decode()
    assert "In its stall all the time." in inside


def test_choose_from_a_line_is_for_the_hours_of_its_list(cast, sign_in):
    for slot in sessions.coming(cast.barn, timezone.now()):
        asked = COLD | {"day": slot.day.isoformat(), "session": slot.session.value}
        answer = sign_in(cast.staff).get(choose(cast, cast.owners_horse), asked)
        assert answer.context["slot"] == slot
        assert answer.context["weather"].hours[0].time >= slot.due_at
    assert sign_in(cast.staff).get(choose(cast, cast.owners_horse), COLD | {"day": "x"}).status_code == 200


def test_choose_says_whom_the_list_of_that_time_promised_a_blanket(cast, sign_in):
    line = line_of(cast, "other_horse")
    ListLine.objects.filter(pk=line.pk).update(tags_to=["WRN22"])
    asked = COLD | {"day": line.change_list.day.isoformat(), "session": line.change_list.session, "air": "-15"}
    said = f"WRN22 goes on {line.horse} by this list"
    assert said in sign_in(cast.staff).get(choose(cast, cast.owners_horse), asked).content.decode()
    theirs = sign_in(cast.owner).get(choose(cast, cast.owners_horse), asked).content.decode()
    assert "WRN22 goes on another horse by this list" in theirs
    assert line.horse.name not in theirs
    ListLine.objects.filter(pk=line.pk).update(outcome="not_done", done_at=timezone.now(), done_by=cast.staff)
    assert said not in sign_in(cast.staff).get(choose(cast, cast.owners_horse), asked).content.decode()
