"""Horses: the list in walking order, one horse's record, its veterinarian's note, its presence; edits taken back."""

from datetime import date

import pytest
from django.urls import reverse

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry
from horses.domain import horse as domain
from horses.enums import Clip, Presence
from horses.models import Horse, PaddockStay
from horses.queries import horse as queries
from tests import factories as make
from tests.writes import Write, six_tests, typed


def edited(cast):
    domain.change_horse(cast.owners_horse, values={"stall": "99"}, actor=Actor(person=cast.manager))


def last_edit(cast):
    return queries.edits_of(cast.owners_horse).first().pk


HORSE = {"pk": "owners_horse"}
TestWrites = six_tests(
    [
        Write("horse_add", "horse_added", data={"name": "Juniper"}, bad={"birth_year": "1801"}, at="birth_year"),
        Write("horse_change", "horse_changed", "owner", HORSE, {"stall": "12"}, {"mass": "9"}, "mass", 404),
        Write(
            "horse_handling",
            "horse_noted",
            "staff",
            HORSE,
            {"handling_note": "Ties badly."},
            {"handling_note": "x" * 301},
            "handling_note",
            404,
        ),
        Write(
            "horse_vet",
            "vet_noted",
            "owner",
            HORSE,
            {"vet_says": "at_least", "vet_fill_g": "200"},
            {"vet_fill_g": "4000"},
            "vet_fill_g",
            404,
        ),
        Write(
            "horse_presence",
            "horse_presence_set",
            "staff",
            HORSE,
            {"presence": "laid_up"},
            {"presence": "eaten"},
            "presence",
            404,
        ),
        Write("horse_place", "horse_moved_in_order", "manager", HORSE, {"to": "3"}, {"to": "first"}, "to", 404),
        Write(
            "horse_take_back",
            "horse_edit_taken_back",
            "owner",
            {**HORSE, "entry": last_edit},
            others=404,
            set_up=edited,
        ),
    ]
)

pytestmark = pytest.mark.django_db


def listed(client, cast, **filters):
    answer = client.get(reverse("horses", args=[cast.barn.slug]), filters)
    return [horse.name for horse in answer.context["horses"]]


def change_url(cast):
    return reverse("horse_change", args=[cast.barn.slug, cast.owners_horse.pk])


class TestTheList:
    def test_each_person_sees_their_horses_in_walking_order(self, cast, sign_in):
        everyone = ["Bramble", "Cinder", "Dapple", "Ember", "Fern"]
        seen = {role: listed(sign_in(person), cast) for role, person in cast.people.items() if role in SEES}
        assert seen == {
            "manager": everyone,
            "staff": everyone,
            "staff_owner": everyone,
            "owner": ["Bramble"],
            "other_owner": ["Dapple", "Ember"],
            "lessee": ["Ember"],
        }

    def test_three_more_horses_cost_no_more_queries(self, cast, sign_in, django_assert_num_queries):
        client = sign_in(cast.manager)
        for count in (5, 8):
            with django_assert_num_queries(6):
                assert len(listed(client, cast)) == count
            for horse in make.HorseFactory.create_batch(3, barn=cast.barn):
                make.MeasurementFactory(horse=horse)

    def test_filters_answer_where_whose_which_need_and_which_clip(self, cast, sign_in):
        client = sign_in(cast.manager)
        Horse.objects.filter(pk=cast.owners_horse.pk).update(presence=Presence.AWAY, thin=True)
        Horse.objects.filter(pk=cast.barn_horse.pk).update(presence=Presence.SOLD)
        Horse.objects.filter(pk=cast.other_horse.pk).update(must_be_covered=True)
        make.CoatFactory(horse=cast.other_horse, on=date(2026, 1, 5), clip=Clip.TRACE)
        field = make.PaddockFactory(barn=cast.barn, name="Far Field")
        PaddockStay.objects.filter(horse=cast.leased_horse).update(paddock=field)
        assert listed(client, cast) == ["Bramble", "Cinder", "Dapple", "Ember"]
        assert listed(client, cast, presence="away") == ["Bramble"]
        assert listed(client, cast, presence="all")[-1] == "Fern"
        assert listed(client, cast, paddock=field.pk) == ["Ember"]
        assert listed(client, cast, owner=cast.other_owner.pk) == ["Dapple", "Ember"]
        assert listed(client, cast, owner=cast.leaver.pk) == []
        assert listed(client, cast, need="thin") == ["Bramble"]
        assert listed(client, cast, need="any") == ["Bramble"]
        assert listed(client, cast, need="covered") == ["Dapple"]
        assert listed(client, cast, clip="trace") == ["Dapple"]
        assert listed(client, cast, clip="none") == ["Bramble", "Cinder", "Ember"]

    def test_a_filter_that_is_none_of_ours_is_open(self, cast, sign_in):
        client = sign_in(cast.manager)
        assert len(listed(client, cast, presence="x", paddock=cast.other.paddock.pk, need="x", clip="x")) == 5

    def test_an_empty_list_names_the_next_step(self, cast, sign_in):
        empty = make.BarnFactory(slug="empty")
        manager = make.PersonFactory(barn=empty, is_manager=True)
        page = sign_in(manager).get(reverse("horses", args=["empty"])).content.decode()
        assert reverse("horse_add", args=["empty"]) in page
        page = sign_in(cast.manager).get(reverse("horses", args=["home"]), {"need": "ill"}).content.decode()
        assert "No horse is like that." in page


SEES = ("manager", "staff", "owner", "staff_owner", "other_owner", "lessee")


class TestWalkingOrder:
    def order(self, cast):
        return [horse.name for horse in queries.of(cast.barn).of_the_barn()]

    @pytest.mark.parametrize(
        ("to", "expected"),
        [
            (1, ["Dapple", "Bramble", "Cinder", "Ember", "Fern"]),
            (2, ["Bramble", "Dapple", "Cinder", "Ember", "Fern"]),
            (4, ["Bramble", "Cinder", "Ember", "Dapple", "Fern"]),
            (99, ["Bramble", "Cinder", "Ember", "Fern", "Dapple"]),
        ],
    )
    def test_a_horse_goes_to_its_place(self, cast, act, to, expected):
        domain.move_in_order(cast.other_horse, to=to, actor=act(cast.manager))
        assert self.order(cast) == expected

    def test_the_buttons_of_the_page_move_one_up_and_one_down(self, cast, sign_in):
        client = sign_in(cast.manager)
        rows = client.get(reverse("horse_order", args=[cast.barn.slug])).context["rows"]
        place, horse, up, down = rows[2]
        url = reverse("horse_place", args=[cast.barn.slug, horse.pk])
        assert client.post(url, {"once": up, "to": place - 1}).url.endswith(f"#horse-{horse.pk}")
        assert self.order(cast)[1] == horse.name
        client.post(url, {"once": down, "to": place})
        assert self.order(cast)[2] == horse.name

    def test_equal_places_are_told_apart_after_one_move(self, cast, act):
        Horse.objects.filter(barn=cast.barn).update(walk_order=0)
        domain.move_in_order(cast.barn_horse, to=1, actor=act(cast.manager))
        assert sorted(Horse.objects.filter(barn=cast.barn).values_list("walk_order", flat=True)) == [1, 2, 3, 4, 5]
        assert self.order(cast)[0] == "Fern"

    def test_the_barn_next_door_keeps_its_order(self, cast, act):
        before = cast.other.horse.walk_order
        domain.move_in_order(cast.barn_horse, to=1, actor=act(cast.manager))
        cast.other.horse.refresh_from_db()
        assert cast.other.horse.walk_order == before

    def test_a_new_horse_comes_last(self, cast, act):
        domain.add_horse(values={"name": "Zephyr"}, actor=act(cast.manager))
        assert self.order(cast)[-1] == "Zephyr"

    def test_three_more_horses_cost_no_more_queries(self, cast, sign_in, django_assert_num_queries):
        client = sign_in(cast.manager)
        for _run in range(2):
            with django_assert_num_queries(4):
                client.get(reverse("horse_order", args=[cast.barn.slug]))
            make.HorseFactory.create_batch(3, barn=cast.barn)


class TestTheRecord:
    def test_mass_is_entered_in_the_barns_own_unit(self, cast, sign_in):
        """1102.3 lb are 500 kg: the international pound is exactly 0.45359237 kg."""
        client = sign_in(cast.manager)
        assert typed(client, change_url(cast))["mass"] == "1102.3"
        client.post(change_url(cast), typed(client, change_url(cast), mass="1000"))
        cast.owners_horse.refresh_from_db()
        assert cast.owners_horse.mass_kg == pytest.approx(453.59237)

    def test_the_journal_holds_what_changed_before_and_after(self, cast, sign_in):
        client = sign_in(cast.owner)
        client.post(change_url(cast), typed(client, change_url(cast), rolls="on"))
        entry = JournalEntry.objects.latest("pk")
        assert (entry.before, entry.after) == ({"rolls": False}, {"rolls": True, "what": "rolls a lot"})

    def test_saving_what_was_there_writes_nothing(self, cast, sign_in):
        client = sign_in(cast.owner)
        before = JournalEntry.objects.count()
        assert client.post(change_url(cast), typed(client, change_url(cast))).status_code == 302
        assert JournalEntry.objects.count() == before

    def test_the_second_of_two_is_shown_what_changed_and_loses_nothing(self, cast, sign_in):
        first, second = sign_in(cast.manager), sign_in(cast.owner)
        mine = typed(second, change_url(cast), stall="Z9", looks="bay, star")
        first.post(change_url(cast), typed(first, change_url(cast), stall="A1", mass="900", thin="on"))
        form = second.post(change_url(cast), mine).context["form"]
        assert "Manager changed this while you were writing" in form.non_field_errors()[0]
        assert (form["stall"].value(), form["looks"].value()) == ("Z9", "bay, star")
        assert (form["mass"].value(), form["thin"].value()) == ("900", True)
        again = {bound.html_name: bound.value() for bound in form if bound.value() not in (None, False)}
        assert second.post(change_url(cast), again).status_code == 302
        cast.owners_horse.refresh_from_db()
        horse = cast.owners_horse
        assert (horse.stall, horse.looks, horse.thin) == ("Z9", "bay, star", True)
        assert horse.mass_kg == pytest.approx(408.233133)

    def test_an_owner_sees_no_horse_that_is_not_theirs_in_a_refusal(self, cast, sign_in):
        url = reverse("horse_change", args=[cast.barn.slug, cast.other_horse.pk])
        page = sign_in(cast.owner).get(url).content.decode()
        assert "Dapple" not in page


class TestTakingBack:
    def test_an_edit_is_taken_back_by_a_new_entry(self, cast, act):
        before = cast.owners_horse.stall
        edited(cast)
        entry = queries.edits_of(cast.owners_horse).first()
        domain.take_back(entry, horse=cast.owners_horse, actor=act(cast.owner))
        cast.owners_horse.refresh_from_db()
        assert cast.owners_horse.stall == before
        assert JournalEntry.objects.filter(pk=entry.pk).exists()

    def test_taking_back_can_itself_be_taken_back(self, cast, act):
        edited(cast)
        for _time in range(2):
            entry = queries.edits_of(cast.owners_horse).first()
            domain.take_back(entry, horse=cast.owners_horse, actor=act(cast.owner))
        cast.owners_horse.refresh_from_db()
        assert cast.owners_horse.stall == "99"

    def test_what_was_changed_again_since_is_not_overwritten(self, cast, act):
        edited(cast)
        entry = queries.edits_of(cast.owners_horse).first()
        domain.change_horse(cast.owners_horse, values={"stall": "7"}, actor=act(cast.manager))
        with pytest.raises(Refused, match="changed again since"):
            domain.take_back(entry, horse=cast.owners_horse, actor=act(cast.owner))

    def test_an_entry_of_another_horse_is_not_found(self, cast, sign_in):
        edited(cast)
        url = reverse("horse_take_back", args=[cast.barn.slug, cast.barn_horse.pk, last_edit(cast)])
        assert sign_in(cast.manager).get(url).status_code == 404


class TestTheVeterinariansNote:
    def url(self, cast):
        return reverse("horse_vet", args=[cast.barn.slug, cast.owners_horse.pk])

    def send(self, cast, sign_in, **fields):
        client = sign_in(cast.owner)
        return client.post(self.url(cast), typed(client, self.url(cast), **fields))

    def test_grams_need_a_figure_and_blankets_need_tags(self, cast, sign_in):
        answer = self.send(cast, sign_in, vet_says="at_least")
        assert list(answer.context["form"].errors) == ["vet_fill_g"]
        answer = self.send(cast, sign_in, vet_says="these")
        assert list(answer.context["form"].errors) == ["vet_tags"]

    def test_what_belongs_to_another_answer_is_dropped(self, cast, sign_in):
        self.send(cast, sign_in, vet_says="these", vet_tags=" wnr33  lnr44 ", vet_fill_g="300", vet_until="2030-03-01")
        cast.owners_horse.refresh_from_db()
        horse = cast.owners_horse
        assert (horse.vet_says, horse.vet_tags, horse.vet_fill_g) == ("these", "WNR33 LNR44", None)
        assert horse.vet_until == date(2030, 3, 1)


class TestPresence:
    def test_sold_it_leaves_the_order_and_its_paddock(self, cast, act):
        domain.set_presence(cast.owners_horse, presence=Presence.SOLD, actor=act(cast.manager))
        assert not queries.of(cast.barn).of_the_barn().filter(pk=cast.owners_horse.pk).exists()
        assert not PaddockStay.objects.filter(horse=cast.owners_horse, until__isnull=True).exists()

    def test_staff_do_not_sell_a_horse(self, cast, sign_in):
        url = reverse("horse_presence", args=[cast.barn.slug, cast.owners_horse.pk])
        client = sign_in(cast.staff)
        answer = client.post(url, typed(client, url, presence="sold"))
        assert list(answer.context["form"].errors) == ["presence"]

    def test_the_same_again_is_a_sentence(self, cast, act):
        with pytest.raises(Refused, match="already"):
            domain.set_presence(cast.owners_horse, presence=Presence.HERE, actor=act(cast.manager))
