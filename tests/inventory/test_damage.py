"""Reporting damage: at once in the matching, with the company of the day, told apart for manager and owner."""

from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person
from inventory.domain import care, damage
from inventory.enums import CareKind, DamagedPart, Fit
from inventory.models import CareJob, FitNote, Wearing
from inventory.queries import blankets
from inventory.queries import damage as queries
from tests import factories as make
from tests.cast import NOW, Cast

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person | None], Client]


@pytest.fixture
def staff(cast: Cast, act: Callable[..., Actor]) -> Actor:
    return act(cast.staff)


@pytest.mark.parametrize(
    ("part", "kind"),
    [
        (part, {DamagedPart.DIRT: CareKind.WASH, DamagedPart.LEAK: CareKind.WATERPROOFING}.get(part, CareKind.REPAIR))
        for part in DamagedPart
    ],
)
def test_each_part_asks_for_its_work(cast: Cast, staff: Actor, part: DamagedPart, kind: CareKind) -> None:
    job = damage.report(cast.worn, part=part, usable=True, actor=staff)
    assert (job.kind, job.step, job.do_not_use, job.payer) == (kind, "reported", False, cast.owner)


def test_do_not_use_counts_at_once_in_the_matching(cast: Cast, staff: Actor) -> None:
    damage.report(cast.owners_blanket, part=DamagedPart.SURCINGLE, usable=False, actor=staff)
    found = blankets.of(cast.barn).with_condition(cast.barn, NOW).get(pk=cast.owners_blanket.pk)
    assert (found.sound, found.state) == ("do_not_use", "do_not_use")


def test_the_same_part_again_is_added_and_can_only_grow_worse(cast: Cast, staff: Actor) -> None:
    first = damage.report(cast.worn, part=DamagedPart.STRAP, usable=False, actor=staff, note="Frayed.")
    again = damage.report(cast.worn, part=DamagedPart.STRAP, usable=True, actor=staff, note="Seen too.")
    assert again.pk == first.pk
    assert (again.do_not_use, again.moves.count()) == (True, 2)
    assert JournalEntry.objects.filter(action="damage_reported").count() == 2


def test_the_company_of_that_day_is_kept(cast: Cast, staff: Actor) -> None:
    """Who stood with Bramble in Home Field on 14 January, the barn's own day."""
    make.PaddockStayFactory(
        horse=make.HorseFactory(barn=cast.barn, name="Gone Before"),
        paddock=cast.paddock,
        since=date(2020, 1, 1),
        until=date(2026, 1, 13),
    )
    make.PaddockStayFactory(horse=make.HorseFactory(barn=cast.barn, name="Elsewhere"), since=date(2020, 1, 1))
    job = damage.report(cast.worn, part=DamagedPart.SHELL, usable=True, actor=staff)
    assert job.on_horse == cast.owners_horse
    assert {one["name"] for one in job.company} == {"Cinder", "Dapple", "Ember", "Fern"}
    entry = JournalEntry.objects.get(action="damage_reported")
    assert entry.after["company"] == 4
    assert "Dapple" not in str(entry.after)
    assert set(entry.subjects.values_list("kind", "label")) == {("horse", "Bramble"), ("blanket", "WRN22")}


def test_a_blanket_on_the_rack_is_reported_for_the_horse_that_wore_it_last(cast: Cast, staff: Actor) -> None:
    make.WearingFactory(blanket=cast.barn_blanket, horse=cast.other_horse, off_at=NOW, off_by=cast.staff)
    job = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=staff)
    assert job.on_horse == cast.other_horse


def test_a_blanket_never_worn_has_no_company(cast: Cast, staff: Actor) -> None:
    job = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=staff)
    assert (job.on_horse, job.company) == (None, [])


def test_a_rub_is_a_matter_of_fit_too_noted_once(cast: Cast, staff: Actor) -> None:
    for _ in range(2):
        damage.report(cast.worn, part=DamagedPart.RUB, usable=True, actor=staff)
    rubs = FitNote.objects.filter(fit=Fit.RUBS)
    assert list(rubs.values_list("blanket", "horse", "on")) == [(cast.worn.pk, cast.owners_horse.pk, date(2026, 1, 14))]
    assert JournalEntry.objects.filter(action="fit_noted").count() == 1


def test_a_rub_needs_a_horse(cast: Cast, staff: Actor) -> None:
    with pytest.raises(Refused, match="which horse"):
        damage.report(cast.barn_blanket, part=DamagedPart.RUB, usable=True, actor=staff)
    assert not CareJob.objects.filter(blanket=cast.barn_blanket).exists()


class TestMustComeOff:
    def alarms(self, cast: Cast) -> list[tuple[Wearing, bool]]:
        return [(wearing, wearing.unsafe) for wearing in queries.must_come_off(cast.barn)]

    def test_do_not_use_on_a_horse_is_shown_and_nothing_of_another_barn(self, cast: Cast, staff: Actor) -> None:
        CareJob.objects.filter(pk=cast.other.care_job.pk).update(do_not_use=True)
        assert self.alarms(cast) == []
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=staff)
        assert self.alarms(cast) == [(cast.wearing, True)]

    @pytest.mark.parametrize("waterproofing", ["none", "resistant", "waterproof"])
    def test_a_blanket_found_soaked_is_an_alarm(self, cast: Cast, waterproofing: str) -> None:
        """Soaked through, any blanket leaves the horse colder than none (common practice, no source)."""
        type(cast.worn).objects.filter(pk=cast.worn.pk).update(waterproofing=waterproofing)
        Wearing.objects.filter(pk=cast.wearing.pk).update(soaked_at=NOW)
        assert self.alarms(cast) == [(cast.wearing, False)]

    def test_the_horses_page_says_so_too(self, cast: Cast, staff: Actor, sign_in: SignIn) -> None:
        url, client = reverse("horse", args=[cast.barn.slug, cast.owners_horse.pk]), sign_in(cast.staff)
        assert ": take it off<" not in client.get(url).content.decode()
        Wearing.objects.filter(pk=cast.wearing.pk).update(soaked_at=NOW)
        assert "soaked: take it off" in client.get(url).content.decode()
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=staff)
        assert "do not use: take it off" in client.get(url).content.decode()

    def test_no_longer_once_it_came_off(self, cast: Cast, staff: Actor) -> None:
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=staff)
        Wearing.objects.filter(pk=cast.wearing.pk).update(off_at=NOW, off_by=cast.staff)
        assert self.alarms(cast) == []


def test_a_report_keeps_a_retired_blanket_out(cast: Cast, staff: Actor) -> None:
    care.retire(cast.barn_blanket, actor=staff)
    with pytest.raises(Refused):
        damage.report(cast.barn_blanket, part=DamagedPart.DIRT, usable=True, actor=staff)
