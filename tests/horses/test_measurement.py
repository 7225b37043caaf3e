"""Measurements, condition and coat: entered as people write them, judged for size, withdrawn when wrong."""

import re
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.models import JournalEntry
from horses.domain import measurement as domain
from horses.models import Coat, Condition, Measurement
from horses.queries import horse as queries
from tests import factories as make
from tests.writes import Write, six_tests, typed

HORSE = {"pk": "owners_horse"}


def of(kind):
    return {**HORSE, "record": lambda cast: getattr(cast.owners_horse, kind).get().pk}


TestWrites = six_tests(
    [
        Write("measurement_add", "horse_measured", "staff", HORSE, {"size": "80"}, {"size": "long"}, "size", 404),
        Write(
            "coat_add",
            "coat_noted",
            "owner",
            HORSE,
            {"clip": "hunter", "clipped_now": "on"},
            {"depth_mm": "61"},
            "depth_mm",
            404,
        ),
        Write("condition_add", "condition_noted", "staff", HORSE, {"score": "6.5"}, {"score": "10"}, "score", 404),
        Write("measurement_withdraw", "measurement_withdrawn", "owner", of("measurements"), others=404),
        Write("coat_withdraw", "coat_withdrawn", "staff", of("coats"), others=404),
        Write("condition_withdraw", "condition_withdrawn", "manager", of("conditions"), others=404),
    ]
)

pytestmark = pytest.mark.django_db


def measure_url(cast):
    return reverse("measurement_add", args=[cast.barn.slug, cast.owners_horse.pk])


def measured(cast, sign_in, **fields):
    client = sign_in(cast.staff)
    return client.post(measure_url(cast), typed(client, measure_url(cast), **fields))


class TestMeasuring:
    @pytest.mark.parametrize(
        ("size", "system", "given_system", "cm"),
        [
            # One inch is exactly 2.54 cm; a foot has 12 inches (international yard, 1959, from memory).
            ("78", "in", "in", "198.1"),
            ("6'6", "in", "ft_in", "198.1"),
            ("6 6", "ft_in", "ft_in", "198.1"),
            ("198", "cm", "cm", "198.0"),
            ("198 cm", "in", "cm", "198.0"),
            ("75,5", "in", "in", "191.8"),
        ],
    )
    def test_the_size_line_is_taken_as_given_and_in_centimetres(self, cast, sign_in, size, system, given_system, cm):
        assert measured(cast, sign_in, size=size, system=system).status_code == 302
        latest = Measurement.objects.filter(horse=cast.owners_horse).latest("pk")
        assert (latest.given, latest.given_system, latest.chest_to_tail_cm) == (size, given_system, Decimal(cm))

    def test_the_tape_is_read_in_its_own_unit(self, cast, sign_in):
        measured(cast, sign_in, girth="74", body_length="65", back_length="55", tape="in")
        latest = Measurement.objects.latest("pk")
        found = (latest.girth_cm, latest.body_length_cm, latest.back_length_cm, latest.chest_to_tail_cm)
        assert found == (Decimal("188.0"), Decimal("165.1"), Decimal("139.7"), None)

    @pytest.mark.parametrize(
        ("fields", "at"),
        [
            ({"size": ""}, "size"),
            ({"size": "150 cm"}, "size"),
            ({"size": "78", "girth": "15"}, "girth"),
            ({"size": "78", "on": "2999-01-01"}, "on"),
            ({"size": "78", "back_length": "three"}, "back_length"),
        ],
    )
    def test_what_cannot_be_is_said_at_its_field(self, cast, sign_in, fields, at):
        answer = measured(cast, sign_in, **fields)
        assert list(answer.context["form"].errors) == [at]

    def test_the_drawing_stands_beside_the_form(self, cast, sign_in):
        page = sign_in(cast.staff).get(measure_url(cast)).content.decode()
        assert "Centre of the chest" in page
        assert page.count("<svg") == 2


class TestSizing:
    """Which size to look for and when to measure again: common practice and the house's own periods, no source."""

    TODAY = date(2026, 6, 1)

    def sizing(self, horse, cm, *, days_ago=10):
        make.MeasurementFactory(horse=horse, on=self.TODAY - timedelta(days=days_ago), chest_to_tail_cm=cm)
        return domain.sizing(horse, self.TODAY)

    @pytest.mark.parametrize(
        ("cm", "inches", "look_for"),
        [("198.1", 78, 78), ("199.4", 78.5, 80), ("200.7", 79, 80), ("203.2", 80, 80)],
    )
    def test_a_horse_of_78_inches_wears_a_78_and_between_sizes_one_goes_up(self, cm, inches, look_for):
        found = self.sizing(make.HorseFactory(), cm)
        assert (found.inches, found.look_for) == (inches, look_for)

    @pytest.mark.parametrize(
        ("birth_year", "days_ago", "due"),
        [
            (2024, 90, False),
            (2024, 91, True),
            (2010, 91, False),
            (2010, 365, False),
            (2010, 366, True),
            (None, 91, False),
        ],
    )
    def test_a_growing_horse_is_measured_every_90_days_a_grown_one_every_year(self, birth_year, days_ago, due):
        found = self.sizing(make.HorseFactory(birth_year=birth_year), "198.1", days_ago=days_ago)
        assert found.due is due

    def test_a_horse_is_grown_from_four_years(self):
        """Taken to be born on the first of May where only the year is known."""
        horse = make.HorseFactory(birth_year=2022)
        assert domain.age_years(horse, date(2026, 4, 30)) < 4
        assert domain.age_years(horse, date(2026, 5, 2)) >= 4

    def test_without_a_measurement_there_is_no_size(self):
        assert domain.sizing(make.HorseFactory(), self.TODAY) is None

    def test_a_girth_alone_is_no_size(self):
        horse = make.HorseFactory()
        make.MeasurementFactory(horse=horse, chest_to_tail_cm=None, girth_cm=188)
        assert domain.sizing(horse, self.TODAY) is None

    def test_the_later_entry_of_a_day_counts(self):
        horse = make.HorseFactory()
        self.sizing(horse, "190")
        assert self.sizing(horse, "198.1").inches == 78

    def test_body_mass_by_the_tape(self):
        """Carroll and Huntington 1988, as quoted: girth squared times length over 11877, in cm and kg."""
        tape = make.MeasurementFactory.build(horse=None, barn=None, girth_cm=Decimal(190), body_length_cm=Decimal(165))
        assert domain.taped_mass_kg(tape) == pytest.approx(190**2 * 165 / 11877)
        assert domain.taped_mass_kg(tape) == pytest.approx(501.5, abs=0.05)


class TestCoatAndCondition:
    def test_a_clip_without_its_kind_is_asked_for(self, cast, sign_in):
        url = reverse("coat_add", args=[cast.barn.slug, cast.owners_horse.pk])
        client = sign_in(cast.staff)
        answer = client.post(url, typed(client, url, clip="none", clipped_now="on"))
        assert list(answer.context["form"].errors) == ["clip"]

    def test_condition_goes_by_halves_from_1_to_9(self, cast, sign_in):
        """Henneke et al. 1983 (from memory): 1 to 9."""
        url = reverse("condition_add", args=[cast.barn.slug, cast.owners_horse.pk])
        scores = [score for score, _label in sign_in(cast.staff).get(url).context["form"].fields["score"].choices]
        assert (scores[0], scores[1], scores[-1], len(scores)) == ("", "1", "9", 18)

    def test_a_condition_opens_with_the_last_score(self, cast, sign_in, act):
        today = queries.today_in(cast.barn)
        domain.note_condition(cast.owners_horse, values={"on": today, "score": Decimal("6.5")}, actor=act(cast.staff))
        url = reverse("condition_add", args=[cast.barn.slug, cast.owners_horse.pk])
        page = sign_in(cast.staff).get(url).content.decode()
        assert re.findall(r'<option value="([^"]*)" selected', page) == ["6.5"]

    def test_without_a_score_nothing_is_chosen_and_a_bare_save_logs_nothing(self, cast, sign_in):
        Condition.objects.filter(horse=cast.owners_horse).delete()
        client, url = sign_in(cast.staff), reverse("condition_add", args=[cast.barn.slug, cast.owners_horse.pk])
        page = client.get(url).content.decode()
        assert re.findall(r'<option value="([^"]*)" selected', page) == [""]
        answer = client.post(url, typed(client, url))
        assert answer.context["form"].errors["score"] == ["Choose the condition that you felt."]
        assert not Condition.objects.filter(horse=cast.owners_horse).exists()

    def test_the_domain_too_refuses_a_day_to_come(self, cast, act):
        values = {"on": queries.today_in(cast.barn) + timedelta(days=2), "score": Decimal(5)}
        with pytest.raises(Refused, match="still to come"):
            domain.note_condition(cast.owners_horse, values=values, actor=act(cast.staff))


class TestWithdrawing:
    def test_what_it_said_stays_in_the_journal(self, cast, act):
        record = cast.owners_horse.measurements.get()
        domain.withdraw(record, actor=act(cast.owner), why="wrong horse")
        entry = JournalEntry.objects.latest("pk")
        assert not Measurement.objects.filter(horse=cast.owners_horse).exists()
        assert (entry.before["chest_to_tail_cm"], entry.why) == ("198.1", "wrong horse")

    def test_twice_is_a_sentence(self, cast, act):
        record = cast.owners_horse.conditions.get()
        again = Condition.objects.get(pk=record.pk)
        domain.withdraw(record, actor=act(cast.owner))
        with pytest.raises(Refused, match="already"):
            domain.withdraw(again, actor=act(cast.owner))

    def test_nothing_of_another_horse_goes_with_it(self, cast, act):
        others = Coat.objects.exclude(horse=cast.owners_horse).count()
        domain.withdraw(cast.owners_horse.coats.get(), actor=act(cast.owner))
        assert Coat.objects.count() == others


@pytest.mark.parametrize("name", ["coat_add", "measurement_add", "condition_add"])
def test_a_day_of_long_ago_is_a_slip_of_the_pen(cast, sign_in, name):
    client, url = sign_in(cast.owner), reverse(name, args=[cast.barn.slug, cast.owners_horse.pk])
    answer = client.post(url, typed(client, url, on="0202-10-01", clip="hunter", size="80", score="5"))
    assert answer.context["form"].errors["on"] == ["From 1990 to 2199."]
