"""Paddocks, and who stands in which from a day on."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from barnrugs.barns.domain.refusal import Refused
from horses.domain import paddock as domain
from horses.models import Paddock, PaddockStay
from horses.queries import horse as horses
from tests import factories as make
from tests.writes import Write, six_tests, typed

HORSE = {"pk": "owners_horse"}


def far_field(cast):
    return Paddock.objects.get_or_create(barn=cast.barn, name="Far Field")[0].pk


TestWrites = six_tests(
    [
        Write("paddock_add", "paddock_added", data={"name": "New"}, bad={"name": "N" * 61}, at="name"),
        Write(
            "paddock_change",
            "paddock_changed",
            "manager",
            {"pk": "paddock"},
            {"note": "mud"},
            {"out_from": "noon"},
            "out_from",
        ),
        Write(
            "horse_paddock",
            "horse_moved",
            "manager",
            HORSE,
            {"paddock": far_field},
            {"since": "2999-01-01"},
            "since",
            404,
        ),
    ]
)

pytestmark = pytest.mark.django_db


def stays(cast):
    found = PaddockStay.objects.filter(horse=cast.owners_horse).order_by("since")
    return [(stay.paddock.name, stay.since, stay.until) for stay in found]


class TestMoving:
    SINCE = date(2026, 2, 1)

    def far(self, cast):
        return Paddock.objects.get(pk=far_field(cast))

    def test_the_day_before_is_the_last_in_the_old_one(self, cast, act):
        domain.move_to(cast.owners_horse, paddock=self.far(cast), since=self.SINCE, actor=act(cast.manager))
        assert stays(cast) == [
            ("Home Field", date(2020, 1, 1), date(2026, 1, 31)),
            ("Far Field", self.SINCE, None),
        ]

    def test_moved_twice_on_a_day_only_the_last_counts(self, cast, act):
        third = make.PaddockFactory(barn=cast.barn, name="Third")
        for paddock in (self.far(cast), third):
            domain.move_to(cast.owners_horse, paddock=paddock, since=self.SINCE, actor=act(cast.manager))
        assert [name for name, _since, _until in stays(cast)] == ["Home Field", "Third"]

    def test_out_of_any_paddock(self, cast, act):
        domain.move_to(cast.owners_horse, paddock=None, since=self.SINCE, actor=act(cast.manager))
        assert stays(cast) == [("Home Field", date(2020, 1, 1), date(2026, 1, 31))]
        with pytest.raises(Refused, match="no paddock already"):
            domain.move_to(cast.owners_horse, paddock=None, since=self.SINCE, actor=act(cast.manager))

    def test_where_it_stands_already_and_before_it_came_are_refused(self, cast, act):
        with pytest.raises(Refused, match="already"):
            domain.move_to(cast.owners_horse, paddock=cast.paddock, since=self.SINCE, actor=act(cast.manager))
        with pytest.raises(Refused, match="only since"):
            domain.move_to(cast.owners_horse, paddock=self.far(cast), since=date(2019, 1, 1), actor=act(cast.manager))

    def test_a_move_to_come_does_not_move_it_today(self, cast, act):
        today = horses.today_in(cast.barn)
        domain.move_to(
            cast.owners_horse, paddock=self.far(cast), since=today + timedelta(days=7), actor=act(cast.manager)
        )
        assert horses.of(cast.barn).with_now(today).get(pk=cast.owners_horse.pk).paddock_now == "Home Field"
        later = horses.of(cast.barn).with_now(today + timedelta(days=7)).get(pk=cast.owners_horse.pk)
        assert later.paddock_now == "Far Field"

    def test_a_paddock_next_door_is_no_choice(self, cast, sign_in):
        url = reverse("horse_paddock", args=[cast.barn.slug, cast.owners_horse.pk])
        client = sign_in(cast.manager)
        answer = client.post(url, typed(client, url, paddock=cast.other.paddock.pk))
        assert list(answer.context["form"].errors) == ["paddock"]


class TestTheList:
    def test_owners_see_only_their_own_horses_in_it(self, cast, sign_in):
        page = reverse("paddocks", args=[cast.barn.slug])
        rows = sign_in(cast.owner).get(page).context["rows"]
        assert [(paddock.name, [horse.name for horse in seen]) for paddock, seen in rows] == [
            ("Home Field", ["Bramble"])
        ]

    def test_three_more_cost_no_more_queries(self, cast, sign_in, django_assert_num_queries):
        client = sign_in(cast.manager)
        for _run in range(2):
            with django_assert_num_queries(6):
                client.get(reverse("paddocks", args=[cast.barn.slug]))
            for paddock in make.PaddockFactory.create_batch(3, barn=cast.barn):
                make.PaddockStayFactory(horse=make.HorseFactory(barn=cast.barn), paddock=paddock)

    def test_a_name_is_given_once_in_a_barn(self, cast, act):
        with pytest.raises(Refused, match="of this name already"):
            domain.add_paddock(values={"name": "Home Field"}, actor=act(cast.manager))
        with pytest.raises(Refused, match="already"):
            domain.change_paddock(
                Paddock.objects.get(pk=far_field(cast)), values={"name": "Home Field"}, actor=act(cast.manager)
            )
