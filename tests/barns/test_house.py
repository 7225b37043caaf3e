"""The barn's page, its house rules and its staffed times."""

from datetime import time

import pytest
from django.urls import reverse

from barnrugs.barns.domain import house
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, JournalEntry, StaffedTime
from barnrugs.barns.models.barn import Units
from barnrugs.barns.queries import house as queries
from tests import factories as make
from tests.writes import Write, six_tests, typed


def edited(cast):
    house.change_house(cast.barn, values={"drying_hours": 20}, actor=Actor(person=cast.manager))


def last_edit(cast):
    return queries.edits_of(cast.barn).first().pk


WRITES = [
    Write("house_change", "house_changed", data={"drying_hours": "20"}, bad={"currency": "dollars"}, at="currency"),
    Write("house_take_back", "house_change_taken_back", parts={"entry": last_edit}, set_up=edited),
    Write("staffed_times", "staffed_times_set", data={"midday": "12:30"}, bad={"turnout": "seven"}, at="turnout"),
]
TestWrites = six_tests(WRITES)


def rules(cast):
    return reverse("house_change", args=[cast.barn.slug])


def change(cast, client, **fields):
    return client.post(rules(cast), typed(client, rules(cast), **fields))


@pytest.mark.django_db
class TestHouse:
    def test_everybody_reads_the_rules_and_only_managers_find_the_way_to_change_them(self, cast, sign_in):
        page = reverse("barn", args=[cast.barn.slug])
        for person, finds in ((cast.manager, True), (cast.staff, False), (cast.owner, False)):
            answer = sign_in(person).get(page)
            assert b"14.4 \xc2\xb0F" in answer.content
            assert (rules(cast).encode() in answer.content) is finds

    def test_every_door_it_shows_opens(self, cast, sign_in):
        for person in (cast.manager, cast.staff, cast.owner, cast.staff_owner, cast.lessee):
            client = sign_in(person)
            doors = client.get(reverse("barn", args=[cast.barn.slug])).context["doors"]
            assert {door["url"]: client.get(door["url"]).status_code for door in doors} == {
                door["url"]: 200 for door in doors
            }

    def test_the_indoor_gain_is_entered_in_the_barns_own_degrees(self, cast, sign_in):
        """8 degC warmer are 14.4 degF warmer: a difference, without the 32."""
        client = sign_in(cast.manager)
        assert typed(client, rules(cast))["indoor_gain"] == "14.4"
        assert change(cast, client, indoor_gain="9").status_code == 302
        cast.barn.refresh_from_db()
        assert cast.barn.indoor_gain_c == pytest.approx(5)

    def test_a_change_of_units_in_the_same_form_does_not_reread_the_degrees(self, cast, sign_in):
        client = sign_in(cast.manager)
        assert change(cast, client, units=Units.METRIC, indoor_gain="9").status_code == 302
        cast.barn.refresh_from_db()
        assert (cast.barn.units, cast.barn.indoor_gain_c) == (Units.METRIC, pytest.approx(5))
        assert typed(client, rules(cast))["indoor_gain"] == "5"

    def test_more_than_the_model_takes_is_refused_in_the_same_degrees(self, cast, sign_in):
        answer = change(cast, sign_in(cast.manager), indoor_gain="28")
        assert answer.context["form"].errors["indoor_gain"] == ["At most 27 degrees."]

    @pytest.mark.parametrize("name", ["Home\nBarn", "Home\x07Barn", "Home\u2028Barn"])
    def test_a_name_stands_on_one_line(self, cast, sign_in, name):
        answer = change(cast, sign_in(cast.manager), name=name)
        assert answer.context["form"].errors["name"] == ["A name stands on one line, without control characters."]
        cast.barn.refresh_from_db()
        assert cast.barn.name == "Home Barn"

    def test_a_decimal_comma_is_taken(self, cast, sign_in):
        assert change(cast, sign_in(cast.manager), latitude="60,5", longitude="10").status_code == 302
        cast.barn.refresh_from_db()
        assert cast.barn.latitude == 60.5

    def test_latitude_without_longitude_is_half_a_place(self, cast, sign_in):
        answer = change(cast, sign_in(cast.manager), latitude="60")
        assert answer.context["form"].errors["longitude"] == ["Give both latitude and longitude, or neither."]

    def test_a_latitude_that_is_none_is_the_only_fault(self, cast, sign_in):
        errors = change(cast, sign_in(cast.manager), latitude="955", longitude="10").context["form"].errors
        assert list(errors) == ["latitude"]

    def test_saving_says_so(self, cast, sign_in):
        client = sign_in(cast.manager)
        assert change(cast, client, drying_hours="20").status_code == 302
        assert [str(said) for said in client.get(reverse("barn", args=["home"])).context["messages"]] == ["Saved."]

    def test_saving_unchanged_rules_is_written_down_as_looked_at(self, cast, sign_in):
        assert change(cast, sign_in(cast.manager)).status_code == 302
        assert JournalEntry.objects.latest("pk").action == "house_confirmed"

    def test_the_journal_holds_only_what_changed(self, cast, sign_in):
        change(cast, sign_in(cast.manager), rain_percent="50")
        entry = JournalEntry.objects.latest("pk")
        assert entry.before == {"rain_threshold": 0.3}
        assert entry.after == {"rain_threshold": 0.5, "what": "chance from which rain counts"}


@pytest.mark.django_db
class TestTwoManagersAtOnce:
    def test_the_second_is_shown_what_changed_and_loses_nothing_typed(self, cast, sign_in):
        first, second = sign_in(cast.manager), sign_in(cast.manager)
        mine = typed(second, rules(cast), drying_hours="20", name="New Name")
        assert change(cast, first, drying_hours="30", proofing_months="18").status_code == 302
        answer = second.post(rules(cast), mine)
        form = answer.context["form"]
        assert "from 12 to 30" in form.non_field_errors()[0]
        assert form.errors["drying_hours"] == ["Somebody else changed this from 12 to 30."]
        assert (form["drying_hours"].value(), form["name"].value()) == ("20", "New Name")
        assert form["proofing_months"].value() == "18", "what the second left alone follows the first"
        cast.barn.refresh_from_db()
        assert (cast.barn.drying_hours, cast.barn.name) == (30, "Home Barn")

    def test_saving_again_after_looking_wins(self, cast, sign_in):
        first, second = sign_in(cast.manager), sign_in(cast.manager)
        mine = typed(second, rules(cast), drying_hours="20")
        change(cast, first, drying_hours="30", proofing_months="18")
        form = second.post(rules(cast), mine).context["form"]
        again = {bound.html_name: bound.value() for bound in form if bound.value() not in (None, False)}
        assert second.post(rules(cast), again).status_code == 302
        cast.barn.refresh_from_db()
        assert (cast.barn.drying_hours, cast.barn.proofing_months) == (20, 18)

    def test_a_damaged_memory_of_what_was_seen_is_refused(self, cast, sign_in):
        answer = change(cast, sign_in(cast.manager), seen="made-up")
        assert list(answer.context["form"].errors) == ["seen"]


@pytest.mark.django_db
class TestTakingBack:
    def test_the_rule_is_as_it_was_and_both_entries_stay(self, cast):
        edited(cast)
        entry = JournalEntry.objects.get(pk=last_edit(cast))
        house.take_back(entry, actor=Actor(person=cast.manager))
        cast.barn.refresh_from_db()
        assert cast.barn.drying_hours == 12
        assert JournalEntry.objects.filter(action__startswith="house_change").count() == 2

    def test_what_was_changed_again_since_stays(self, cast):
        edited(cast)
        entry = JournalEntry.objects.get(pk=last_edit(cast))
        house.change_house(cast.barn, values={"drying_hours": 30}, actor=Actor(person=cast.manager))
        with pytest.raises(Refused, match="changed again since"):
            house.take_back(entry, actor=Actor(person=cast.manager))

    def test_another_barns_entry_is_not_found(self, cast, sign_in):
        edited(cast)
        url = reverse("house_take_back", args=[cast.other.barn.slug, last_edit(cast)])
        assert sign_in(cast.stranger).get(url).status_code == 404


@pytest.mark.django_db
class TestStaffedTimes:
    def test_exactly_the_times_given_stand(self, cast, sign_in):
        url = reverse("staffed_times", args=[cast.barn.slug])
        client = sign_in(cast.manager)
        client.post(url, typed(client, url, turnout="06:30", night_check=None))
        assert list(StaffedTime.objects.filter(barn=cast.barn).values_list("session", "at")) == [
            ("turnout", time(6, 30))
        ]
        assert StaffedTime.objects.filter(barn=cast.other.barn).count() == 1

    @pytest.mark.parametrize(
        ("times", "field", "sentence"),
        [
            ({"turnout": "07:00", "midday": "06:00"}, "midday", "Midday at 06:00 is not after Turnout at 07:00."),
            ({"turnout": "07:00", "bring_in": "07:00"}, "bring_in", "Bring-in at 07:00 is not after Turnout at 07:00."),
            ({"bring_in": "22:00"}, "night_check", "Night check at 21:00 is not after Bring-in at 22:00."),
        ],
    )
    def test_times_out_of_the_days_order_are_questioned_at_their_field(self, cast, sign_in, times, field, sentence):
        url = reverse("staffed_times", args=[cast.barn.slug])
        client = sign_in(cast.manager)
        answer = client.post(url, typed(client, url, **times))
        assert dict(answer.context["form"].errors) == {field: [sentence]}
        assert StaffedTime.objects.filter(barn=cast.barn).count() == 1

    def test_a_night_check_may_be_after_midnight(self, cast, sign_in):
        url = reverse("staffed_times", args=[cast.barn.slug])
        client = sign_in(cast.manager)
        assert client.post(url, typed(client, url, bring_in="16:00", night_check="00:30")).status_code == 302

    def test_a_day_without_anybody_is_refused(self, cast, sign_in):
        url = reverse("staffed_times", args=[cast.barn.slug])
        client = sign_in(cast.manager)
        answer = client.post(url, typed(client, url, night_check=None))
        assert answer.context["form"].non_field_errors() == ["At least one time a day somebody must be there."]


@pytest.mark.django_db
class TestMakingABarn:
    NEW = house.NewBarn(name="Hollow Farm", slug="hollow", time_zone="Europe/Oslo", units="metric")

    def test_it_has_a_manager_and_the_usual_staffed_times(self):
        manager = house.make_barn(self.NEW, manager_name="Kim", user=make.UserFactory())
        assert manager.is_manager
        sessions = list(StaffedTime.objects.filter(barn=manager.barn).values_list("session", flat=True))
        assert sessions == ["turnout", "bring_in", "night_check"]
        assert JournalEntry.objects.get(barn=manager.barn).action == "barn_made"

    @pytest.mark.parametrize(
        ("wrong", "sentence"),
        [
            ({"time_zone": "Europe/Nowhere"}, "time zone"),
            ({"slug": "Hollow Farm!"}, "slug"),
            ({"name": ""}, "Fill this in"),
            ({"name": "Hollow\nFarm"}, "one line"),
        ],
    )
    def test_bad_values_are_a_sentence(self, wrong, sentence):
        with pytest.raises(Refused, match=sentence):
            house.make_barn(house.NewBarn(**{**vars(self.NEW), **wrong}), manager_name="Kim", user=None)
        assert not Barn.objects.exists()

    def test_an_address_is_given_once(self):
        house.make_barn(self.NEW, manager_name="Kim", user=None)
        with pytest.raises(Refused, match="/barns/hollow/"):
            house.make_barn(self.NEW, manager_name="Kim", user=None)
