"""Lending a blanket out of the barn, and its coming back."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.domain import lending as domain
from inventory.enums import CareStep, Keeping
from inventory.models import CareJob, Placing
from inventory.queries import blankets
from tests.cast import NOW
from tests.writes import Write, six_tests

BLANKET = {"pk": "owners_blanket"}


def is_lent(cast):
    domain.lend_out(cast.owners_blanket, to_whom="The farm up the road", actor=Actor(person=cast.owner))


TestWrites = six_tests(
    [
        Write("lend_out", "blanket_lent", "owner", BLANKET, {"to_whom": "Ash"}, {"to_whom": "x" * 81}, "to_whom", 404),
        Write(
            "lent_back",
            "blanket_brought_home",
            "staff",
            BLANKET,
            bad={"place": "x" * 61},
            at="place",
            others=404,
            set_up=is_lent,
        ),
    ]
)

pytestmark = pytest.mark.django_db


def answers(cast, blanket=None, at=NOW):
    return blankets.of(cast.barn).with_condition(cast.barn, at).get(pk=(blanket or cast.owners_blanket).pk)


def lend(cast, act, blanket=None, **how):
    return domain.lend_out(blanket or cast.owners_blanket, **{"to_whom": "Ash", "actor": act(cast.manager), **how})


def test_a_lent_blanket_is_with_somebody_until_a_day_and_out_of_hand(cast, act):
    lend(cast, act, due_on=NOW.date() + timedelta(days=7))
    found = answers(cast)
    assert (found.where, found.state, found.lent_to) == ("lent", "lent", "Ash")
    assert found.back_due_on == NOW.date() + timedelta(days=7)


def test_back_it_hangs_on_its_rack_or_dries(cast, act):
    lend(cast, act)
    domain.bring_back(cast.owners_blanket, actor=act(cast.staff))
    assert answers(cast).state == "ready"
    lend(cast, act)
    domain.bring_back(cast.owners_blanket, wet=True, place="Boiler room", actor=act(cast.staff))
    found = answers(cast)
    assert (found.where, found.wet, found.placing_place) == ("drying", "drying", "Boiler room")


def test_every_place_it_was_in_stays_on_record_one_at_a_time(cast, act):
    lend(cast, act)
    domain.bring_back(cast.owners_blanket, actor=act(cast.staff))
    kinds = list(Placing.objects.filter(blanket=cast.owners_blanket).order_by("pk").values_list("kind", flat=True))
    assert kinds == [Keeping.RACK, Keeping.LENT, Keeping.RACK]
    assert Placing.objects.filter(blanket=cast.owners_blanket, until__isnull=True).count() == 1


def test_what_a_horse_wears_or_the_cleaner_has_is_not_lent(cast, act):
    with pytest.raises(Refused, match="is on Bramble"):
        lend(cast, act, blanket=cast.worn)
    CareJob.objects.filter(pk=cast.care_job.pk).update(step=CareStep.AWAY)
    with pytest.raises(Refused, match="cleaner"):
        lend(cast, act, blanket=cast.other_blanket)


def test_it_is_lent_once_and_brought_back_once(cast, act):
    with pytest.raises(Refused, match="is not lent"):
        domain.bring_back(cast.owners_blanket, actor=act(cast.staff))
    lend(cast, act)
    with pytest.raises(Refused, match="not here: Lent"):
        lend(cast, act)


def test_a_day_in_the_past_is_no_due_day(cast, act):
    with pytest.raises(Refused, match="before today"):
        lend(cast, act, due_on=NOW.date() - timedelta(days=3))


def test_the_page_says_who_has_it_and_that_it_is_overdue(cast, act, sign_in):
    lend(cast, act, to_whom="Ash Byre")
    Placing.objects.filter(kind=Keeping.LENT).update(due_on=timezone.now().date() - timedelta(days=2))
    page = sign_in(cast.owner).get(reverse("blanket_lending", args=[cast.barn.slug, cast.owners_blanket.pk]))
    assert "Ash Byre" in page.content.decode()
    assert "It is overdue." in page.content.decode()
