"""Owners and lessees, from a day to another."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.models import JournalEntry
from horses.domain import owner as domain
from horses.models import HorseOwner
from tests.writes import Write, six_tests


def lessee(cast):
    return cast.lessee.pk


def ownership(cast):
    return HorseOwner.objects.get(horse=cast.owners_horse).pk


TestWrites = six_tests(
    [
        Write(
            "owner_add",
            "horse_leased",
            "manager",
            {"pk": "owners_horse"},
            {"person": lessee, "lessee": "on"},
            {"until": "2001-01-01"},
            "until",
            404,
        ),
        Write("owner_end", "horse_owner_ended", "manager", {"pk": ownership}, {}, {"until": "soon"}, "until", 404),
    ]
)

pytestmark = pytest.mark.django_db


def sees(cast, sign_in, person):
    return sign_in(person).get(reverse("horse", args=[cast.barn.slug, cast.owners_horse.pk])).status_code


def test_who_leases_a_horse_sees_it_from_that_day(cast, sign_in, act):
    assert sees(cast, sign_in, cast.lessee) == 404
    today = timezone.now().date()
    domain.add_owner(cast.owners_horse, person=cast.lessee, lessee=True, since=today, actor=act(cast.manager))
    assert sees(cast, sign_in, cast.lessee) == 200


def test_the_day_after_the_last_they_no_longer_do(cast, sign_in, act):
    holder = HorseOwner.objects.get(pk=ownership(cast))
    domain.end_owner(holder, until=timezone.now().date() - timedelta(days=2), actor=act(cast.manager))
    assert sees(cast, sign_in, cast.owner) == 404


def test_staff_who_buy_a_horse_become_owners_too(cast, act):
    domain.add_owner(cast.barn_horse, person=cast.staff, since=date(2026, 1, 1), actor=act(cast.manager))
    cast.staff.refresh_from_db()
    assert (cast.staff.is_staff, cast.staff.is_owner) == (True, True)


def test_nobody_holds_a_horse_twice(cast, act):
    with pytest.raises(Refused, match="already"):
        domain.add_owner(cast.owners_horse, person=cast.owner, since=date(2026, 1, 1), actor=act(cast.manager))


def test_it_does_not_end_before_it_began_or_twice(cast, act):
    holder = HorseOwner.objects.get(pk=ownership(cast))
    with pytest.raises(Refused, match="began only"):
        domain.end_owner(holder, until=date(2019, 1, 1), actor=act(cast.manager))
    domain.end_owner(holder, until=date(2026, 1, 1), actor=act(cast.manager))
    with pytest.raises(Refused, match="ended already"):
        domain.end_owner(holder, until=date(2026, 2, 1), actor=act(cast.manager))


def test_the_journal_names_who_gets_a_part_as_an_owner(cast, act):
    for horse, expected in ((cast.barn_horse, ({"is_owner": False}, True)), (cast.owners_horse, ({}, None))):
        domain.add_owner(horse, person=cast.staff, since=date(2026, 1, 1), actor=act(cast.manager))
        entry = JournalEntry.objects.latest("pk")
        assert (entry.action, entry.before, entry.after.get("is_owner")) == ("horse_owner_added", *expected)
