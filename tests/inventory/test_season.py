"""The end of the season and the autumn list: what needs what, put away dry, and fetched again."""

import uuid
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person
from inventory.domain import care, damage, season, wearing
from inventory.enums import CareKind, CareStep, DamagedPart, Keeping
from inventory.models import Blanket, CareJob, Wearing
from inventory.queries import blankets
from inventory.queries import season as queries
from tests import factories as make
from tests.cast import NOW, Cast
from tests.inventory.care_walks import bring, wash
from tests.inventory.sending import address, records, send

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]
APRIL = datetime(2026, 4, 20, 18, tzinfo=UTC)


@pytest.fixture
def manager(cast: Cast, act: Callable[..., Actor]) -> Actor:
    return act(cast.manager, there_at=APRIL)


@pytest.fixture
def in_april(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: APRIL)


def worn(cast: Cast, blanket: Blanket, on: datetime, off: datetime) -> None:
    make.WearingFactory(blanket=blanket, horse=cast.barn_horse, on_at=on, off_at=off, off_by=cast.staff)


@pytest.mark.parametrize(
    ("at", "month", "began"),
    [
        (datetime(2026, 4, 20, tzinfo=UTC), 9, date(2025, 9, 1)),
        (datetime(2026, 9, 1, 7, tzinfo=UTC), 9, date(2025, 9, 1)),
        (datetime(2026, 9, 1, 8, tzinfo=UTC), 9, date(2026, 9, 1)),
        (datetime(2026, 1, 15, tzinfo=UTC), 4, date(2025, 4, 1)),
    ],
)
def test_the_season_begins_in_the_house_s_month_by_the_barn_s_clock(cast: Cast, at, month: int, began: date) -> None:
    """1 September begins at 08:00 UTC in Alaska's summer time."""
    make.CareRulesFactory(barn=cast.barn, season_month=month)
    assert queries.began(cast.barn, at) == began


class TestTheWorklist:
    def lines(self, client: Client) -> dict[str, tuple[str, ...]]:
        return {line.blanket.tag: line.needs for line in client.get(address("season")).context["lines"]}

    def test_what_was_worn_and_what_each_needs(self, cast: Cast, sign_in: SignIn, manager: Actor, in_april) -> None:
        clean, torn, old, proof = (make.BlanketFactory(barn=cast.barn, tag=f"{letter}AAA2") for letter in "CTOP")
        for blanket in (clean, torn, proof):
            worn(cast, blanket, APRIL - timedelta(days=90), APRIL - timedelta(days=60))
        worn(cast, old, datetime(2025, 3, 1, tzinfo=UTC), datetime(2025, 8, 31, tzinfo=UTC))
        wash(clean, manager)
        wash(proof, manager)
        Blanket.objects.filter(pk=proof.pk).update(proofed_on=date(2025, 4, 20))
        damage.report(torn, part=DamagedPart.SHELL, usable=False, actor=manager)
        assert self.lines(sign_in(cast.manager)) == {
            "WRN22": ("wash: worn since the last one",),
            "CAAA2": (),
            "TAAA2": ("wash: worn since the last one", "repair: do not use"),
            "PAAA2": ("waterproofing",),
        }

    def test_worn_again_after_its_wash_it_needs_another(self, cast: Cast, sign_in: SignIn, act, in_april) -> None:
        wash(cast.barn_blanket, act(cast.manager, there_at=APRIL - timedelta(days=10)))
        worn(cast, cast.barn_blanket, APRIL - timedelta(days=12), APRIL - timedelta(days=11))
        assert self.lines(sign_in(cast.manager))["BRN88"] == ()
        worn(cast, cast.barn_blanket, APRIL - timedelta(days=9), APRIL - timedelta(days=8))
        assert self.lines(sign_in(cast.manager))["BRN88"] == ("wash: worn since the last one",)

    def test_an_owner_sees_and_acts_on_their_own(self, cast: Cast, sign_in: SignIn, in_april) -> None:
        worn(cast, cast.other_blanket, APRIL - timedelta(days=9), APRIL - timedelta(days=8))
        assert set(self.lines(sign_in(cast.owner))) == {"WRN22"}
        assert set(self.lines(sign_in(cast.other_owner))) == {"THR55"}
        page = sign_in(cast.staff).get(address("season"))
        assert {line.may for line in page.context["lines"]} == {False}

    def test_what_is_stored_is_off_the_list(self, cast: Cast, sign_in: SignIn, manager: Actor, in_april) -> None:
        wearing.take_off(cast.wearing, actor=manager)
        client = sign_in(cast.manager)
        send(client, address("season_act", "season"), act="store", place="Loft, box 4", blankets=cast.worn.pk)
        page = client.get(address("season"))
        assert (page.context["lines"], page.context["stored"]) == ([], 1)

    def test_the_queries_do_not_grow(self, cast: Cast, sign_in: SignIn, in_april, django_assert_num_queries) -> None:
        client = sign_in(cast.manager)
        for url, first in (("season", 6), ("autumn", 6)):
            client.get(address(url))
            with django_assert_num_queries(first):
                client.get(address(url))
        for number in range(2):
            blanket = make.BlanketFactory(barn=cast.barn, owner=cast.owner, usual_horse=cast.owners_horse)
            worn(cast, blanket, APRIL - timedelta(days=9 - number), APRIL - timedelta(days=8 - number))
            stored = make.BlanketFactory(barn=cast.barn, owner=cast.owner, usual_horse=cast.owners_horse)
            make.PlacingFactory(blanket=stored, kind=Keeping.STORED)
        with django_assert_num_queries(6):
            assert len(client.get(address("season")).context["lines"]) == 3
        with django_assert_num_queries(6):
            assert len(client.get(address("autumn")).context["rest"]) == 2


class TestStoring:
    def test_at_its_place_remembered_for_next_year(self, cast: Cast, manager: Actor) -> None:
        season.store(cast.barn_blanket, place=" Loft, box 4 ", actor=manager)
        found = blankets.of(cast.barn).with_condition(cast.barn, APRIL).get(pk=cast.barn_blanket.pk)
        assert (found.where, found.placing_place, found.storage_place) == ("stored", "Loft, box 4", "Loft, box 4")
        season.fetch(cast.barn_blanket, actor=manager)
        season.store(cast.barn_blanket, place="", actor=manager)
        entries = JournalEntry.objects.filter(action="blanket_stored").order_by("pk")
        assert [entry.after["place"] for entry in entries] == ["Loft, box 4", "Loft, box 4"]

    def test_refused_worn_wet_away_or_without_a_place(self, cast: Cast, manager: Actor) -> None:
        with pytest.raises(Refused, match="is on Bramble"):
            season.store(cast.worn, place="Loft", actor=manager)
        with pytest.raises(Refused, match="Say where"):
            season.store(cast.barn_blanket, place=" ", actor=manager)
        make.PlacingFactory(blanket=cast.barn_blanket, kind=Keeping.DRYING, since=APRIL - timedelta(hours=1))
        with pytest.raises(Refused, match="still wet"):
            season.store(cast.barn_blanket, place="Loft", actor=manager)
        bring(care.ask(cast.other_blanket, CareKind.REPAIR, actor=manager), CareStep.REPORTED, manager)
        bring(CareJob.objects.get(pk=cast.care_job.pk), CareStep.AWAY, manager)
        with pytest.raises(Refused, match="at the cleaner"):
            season.store(cast.other_blanket, place="Loft", actor=manager)

    def test_what_is_not_stored_is_not_fetched(self, cast: Cast, manager: Actor) -> None:
        with pytest.raises(Refused, match="not stored away"):
            season.fetch(cast.barn_blanket, actor=manager)


class TestTheAutumnList:
    def test_what_was_put_away_not_ready(self, cast: Cast, sign_in: SignIn, manager: Actor, in_april) -> None:
        dirty, ready, torn = (make.BlanketFactory(barn=cast.barn, tag=f"{letter}AAA2") for letter in "DRT")
        for blanket in (dirty, ready):
            worn(cast, blanket, APRIL - timedelta(days=90), APRIL - timedelta(days=60))
        wash(ready, manager)
        damage.report(torn, part=DamagedPart.STRAP, usable=True, actor=manager)
        for blanket in (dirty, ready, torn):
            season.store(blanket, place="Loft", actor=manager)
        client = sign_in(cast.manager)
        page = client.get(address("autumn"))
        assert {line.blanket.tag: line.needs for line in page.context["lines"]} == {
            "DAAA2": ("wash: worn since the last one",),
            "TAAA2": ("repair",),
        }
        assert [blanket.tag for blanket in page.context["rest"]] == ["RAAA2"]

    def test_many_at_once_each_on_its_own(self, cast: Cast, sign_in: SignIn, manager: Actor, in_april) -> None:
        season.store(cast.owners_blanket, place="Loft", actor=manager)
        answer = sign_in(cast.manager).post(
            address("season_act", "autumn"),
            {"once": uuid.uuid4(), "act": "fetch", "blankets": [cast.owners_blanket.pk, cast.barn_blanket.pk]},
            follow=True,
        )
        said = answer.content.decode()
        assert "1 line done." in said
        assert "BRN88: BRN88 is not stored away." in said


class TestWrites:
    GOOD = {"act": "ask_wash"}

    def test_works_bad_anonymous_other_owner_other_barn_sent_again(self, cast: Cast, sign_in: SignIn) -> None:
        url, good = address("season_act", "season"), {**self.GOOD, "blankets": cast.owners_blanket.pk}
        before = records()
        for who, status in ((None, 302), ("staff", 400), ("other_owner", 400), ("stranger", 404)):
            assert send(sign_in(getattr(cast, who) if who else None), url, **good).status_code == status
        for bad in ({}, {"act": "burn"}, {"blankets": ""}, {"blankets": "999999"}):
            assert send(sign_in(cast.owner), url, **(good | bad if bad else {})).status_code == 400
        assert records() == before
        client, once = sign_in(cast.owner), uuid.uuid4()
        assert [send(client, url, once=once, **good).status_code for _ in range(2)] == [302, 302]
        assert CareJob.objects.filter(blanket=cast.owners_blanket, kind="wash").count() == 1


def test_what_a_horse_still_wears_is_on_the_list(cast: Cast, manager: Actor, in_april) -> None:
    """It was worn this season too."""
    assert Wearing.objects.get(pk=cast.wearing.pk).off_at is None
    found = queries.worn_this_season(cast.barn, NOW, date(2025, 9, 1))
    assert [blanket.tag for blanket in found] == ["WRN22"]
