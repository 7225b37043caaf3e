"""Wet blankets: hung up, dry by hand or by the barn's hours; hours out in rain counted from the weather record."""

import uuid
from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person
from barnrugs.matching.weather import Hour
from barnrugs.matching.words import PrecipKind
from barnrugs.weather.models import WeatherHour, WeatherSource
from horses.enums import OutPlan
from horses.models import Paddock
from inventory.domain import care, drying, wearing
from inventory.domain.drying import Rain
from inventory.enums import CareKind, CareStep, Keeping
from inventory.models import Blanket, Wearing
from inventory.queries import blankets
from tests import factories as make
from tests.cast import NOW, Cast
from tests.inventory.care_walks import bring
from tests.inventory.sending import address, records, send

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]


@pytest.fixture
def staff(cast: Cast, act: Callable[..., Actor]) -> Actor:
    return act(cast.staff)


def wet(blanket: Blanket, at: datetime = NOW) -> tuple[str, str, str]:
    found = blankets.of(blanket.barn).with_condition(blanket.barn, at).get(pk=blanket.pk)
    return (found.where, found.wet, found.placing_place)


class TestHangingUp:
    def test_found_wet_it_dries_at_a_named_place_for_the_barns_hours(self, cast: Cast, staff: Actor) -> None:
        """The barn's drying time is twelve hours here (house setting)."""
        drying.mark_wet(cast.owners_blanket, place="Boiler room", actor=staff)
        assert wet(cast.owners_blanket) == ("drying", "drying", "Boiler room")
        assert wet(cast.owners_blanket, NOW + timedelta(hours=12) - timedelta(seconds=1))[1] == "drying"
        assert wet(cast.owners_blanket, NOW + timedelta(hours=12))[:2] == ("rack", "dry")

    def test_taken_off_wet_and_ready_by_hand(self, cast: Cast, staff: Actor) -> None:
        wearing.take_off(cast.wearing, actor=staff, fate=wearing.Fate(wet=True, soaked=True, place="Loft rail"))
        assert wet(cast.worn) == ("drying", "soaked", "Loft rail")
        wearing.hang_up(cast.worn, actor=staff)
        assert wet(cast.worn)[:2] == ("rack", "dry")

    def test_what_dries_is_not_put_on(self, cast: Cast, staff: Actor) -> None:
        drying.mark_wet(cast.owners_blanket, place="Boiler room", actor=staff)
        with pytest.raises(Refused, match="still wet"):
            wearing.put_on(cast.owners_blanket, horse=cast.owners_horse, actor=staff)

    def test_one_entry_in_the_journal(self, cast: Cast, staff: Actor) -> None:
        drying.mark_wet(cast.owners_blanket, place="Boiler room", actor=staff, soaked=True)
        entry = JournalEntry.objects.get(action="blanket_marked_wet")
        assert entry.after == {"place": "Boiler room", "soaked": True}

    @pytest.mark.parametrize("kind", [Keeping.LENT, Keeping.HOME, Keeping.LOST, Keeping.RETIRED])
    def test_what_is_not_here_is_not_hung_up(self, cast: Cast, staff: Actor, kind: Keeping) -> None:
        make.PlacingFactory(blanket=cast.barn_blanket, kind=kind)
        with pytest.raises(Refused, match="not here"):
            drying.mark_wet(cast.barn_blanket, place="Boiler room", actor=staff)

    def test_nor_what_a_horse_wears_nor_what_is_at_the_cleaner(self, cast: Cast, staff: Actor, act) -> None:
        with pytest.raises(Refused, match="is on Bramble"):
            drying.mark_wet(cast.worn, place="Boiler room", actor=staff)
        manager = act(cast.manager)
        bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.AWAY, manager)
        with pytest.raises(Refused, match="at the cleaner"):
            drying.mark_wet(cast.barn_blanket, place="Boiler room", actor=staff)


WET_NIGHT = datetime(2026, 1, 14, 16, tzinfo=UTC)
"""07:00 in the barn's own zone, when the horses go out; it rains from then until 10:00."""


def hour(begins: datetime, **values: object) -> Hour:
    return Hour(time=begins, air_c=values.pop("air_c", 3.0), wind_10m_ms=2.0, **values)


@pytest.mark.parametrize(
    ("values", "rain"),
    [
        ({"precip_mm": 0.2}, True),
        ({"precip_mm": 0.19}, False),
        ({"precip_mm": None}, False),
        ({"precip_mm": 2.0, "air_c": -0.6}, False),
        ({"precip_mm": 2.0, "air_c": -0.5}, True),
        ({"precip_mm": 2.0, "air_c": 2.0, "precip_kind": PrecipKind.SNOW}, False),
        ({"precip_mm": 2.0, "air_c": -3.0, "precip_kind": PrecipKind.RAIN}, True),
    ],
)
def test_rain_counts_from_the_amount_and_temperature_that_the_matching_counts(values: dict, rain: bool) -> None:
    assert drying.rains(hour(NOW, **values)) is rain


class TestHoursInRain:
    @pytest.fixture
    def record(self, cast: Cast) -> WeatherSource:
        """14 January: 1 mm an hour from 07:00 to 10:00, unknown from 12:00 to 14:00, else dry; every hour 3 degC."""
        source = make.WeatherSourceFactory(barn=cast.barn)
        start = datetime(2000, 1, 13, 9, tzinfo=UTC)
        rain = {7: 1.0, 8: 1.0, 9: 1.0, 12: None, 13: None}
        for step in range(72):
            begins = start + timedelta(hours=step)
            local = begins - timedelta(hours=9)
            amount = rain.get(local.hour, 0.0) if local.day == 14 else 0.0
            WeatherHour.objects.create(source=source, time=begins, air_c=3, wind_10m_ms=2, rh=0.9, precip_mm=amount)
        return source

    def count(self, cast: Cast, on_at: datetime, at: datetime) -> Rain:
        Wearing.objects.filter(pk=cast.wearing.pk).update(on_at=on_at)
        worn = list(Wearing.objects.filter(pk=cast.wearing.pk).select_related("horse", "blanket"))
        return drying.rain_on(worn, cast.barn, at).rain[cast.wearing.pk]

    @pytest.mark.parametrize(
        ("on_after_h", "until_h", "rain"),
        [
            (0, 12, Rain(3, 2)),
            (1.5, 12, Rain(2, 2)),
            (-5, 2, Rain(2, 0)),
            (4, 5, Rain(0, 0)),
            (8, 12, Rain(0, 0)),
        ],
    )
    def test_out_by_day_the_rain_since_it_went_on_counts(
        self, cast: Cast, record, on_after_h: float, until_h: float, rain: Rain
    ) -> None:
        """Out 07:00 to 16:00. An hour begun counts: put on at 08:30, the hour from 08:00 is the first."""
        on_at, at = WET_NIGHT + timedelta(hours=on_after_h), WET_NIGHT + timedelta(hours=until_h)
        assert self.count(cast, on_at, at) == rain

    def test_in_a_stall_no_rain_counts(self, cast: Cast, record) -> None:
        Paddock.objects.filter(pk=cast.paddock.pk).update(out_plan=OutPlan.IN)
        assert self.count(cast, WET_NIGHT, WET_NIGHT + timedelta(hours=12)) == Rain(0, 0)

    def test_the_horses_own_schedule_stands_above_its_paddocks(self, cast: Cast, record) -> None:
        type(cast.owners_horse).objects.filter(pk=cast.owners_horse.pk).update(
            out_plan=OutPlan.DAY, out_from=time(9), out_until=time(13)
        )
        assert self.count(cast, WET_NIGHT, WET_NIGHT + timedelta(hours=12)) == Rain(1, 1)

    def test_put_on_just_now_nothing_has_fallen_on_it(self, cast: Cast, record) -> None:
        assert self.count(cast, NOW, NOW) == Rain(0, 0)

    def test_without_a_record_the_page_says_that_it_cannot_count(self, cast: Cast) -> None:
        worn = list(Wearing.objects.filter(pk=cast.wearing.pk).select_related("horse", "blanket"))
        found = drying.rain_on(worn, cast.barn, NOW)
        assert (found.rain, found.gap) == ({}, "Home Barn has no weather file.")

    def test_a_page_with_a_record_counts_for_everybody_that_wears(
        self, cast: Cast, record, sign_in: SignIn, monkeypatch: pytest.MonkeyPatch, django_assert_num_queries
    ) -> None:
        monkeypatch.setattr(timezone, "now", lambda: WET_NIGHT + timedelta(hours=6))
        Wearing.objects.filter(pk=cast.wearing.pk).update(on_at=WET_NIGHT)
        Blanket.objects.filter(pk=cast.worn.pk).update(waterproofing="none")
        client = sign_in(cast.staff)
        client.get(address("drying"))
        with django_assert_num_queries(11):
            page = client.get(address("drying"))
        assert [(one.wearing.pk, one.rain, one.warns) for one in page.context["in_rain"]] == [
            (cast.wearing.pk, Rain(3, 1), True)
        ]
        assert "3 hours out in rain since it was put on" in page.content.decode()
        cover = make.WearingFactory(blanket=cast.barn_blanket, horse=cast.owners_horse, layer=2, on_at=WET_NIGHT)
        make.WearingFactory(blanket=cast.other_blanket, horse=cast.other_horse, on_at=WET_NIGHT)
        with django_assert_num_queries(11):
            page = client.get(address("drying"))
        rows = page.context["in_rain"]
        assert [(one.wearing.blanket.tag, one.warns) for one in rows] == [
            ("WRN22", False),
            (cover.blanket.tag, False),
            ("THR55", False),
        ]


class TestPages:
    WRITES = (
        ("mark_wet", "owners_blanket", {"place": "Boiler room"}, [{}, {"place": "  "}, {"place": "x" * 61}], 200),
        ("mark_soaked", "wearing", {}, [{"once": "no number"}], 400),
    )

    def of(self, cast: Cast, name: str, thing: str) -> str:
        return address(name, getattr(cast, thing).pk)

    @pytest.mark.parametrize(("name", "thing", "good", "bad", "status"), WRITES)
    def test_works_bad_anonymous_other_owner_other_barn_sent_again(
        self, cast: Cast, sign_in: SignIn, name: str, thing: str, good: dict, bad: list[dict], status: int
    ) -> None:
        url, before = self.of(cast, name, thing), records()
        for who, answer in ((None, 302), ("other_owner", 404), ("stranger", 404)):
            assert send(sign_in(getattr(cast, who) if who else None), url, **good).status_code == answer
        for form in bad:
            sent = {"once": str(uuid.uuid4()), **form}
            assert sign_in(cast.staff).post(url, sent).status_code == status
        assert records() == before
        once, client = uuid.uuid4(), sign_in(cast.owner)
        assert send(client, url, once=once, **good).status_code == 302
        after = records()
        assert after != before
        assert send(client, url, once=once, **good).status_code == 302
        assert records() == after

    def test_a_soaked_layer_that_is_not_waterproof_is_an_alarm_on_the_page(self, cast: Cast, sign_in: SignIn) -> None:
        Blanket.objects.filter(pk=cast.worn.pk).update(waterproofing="none")
        client = sign_in(cast.staff)
        send(client, address("mark_soaked", cast.wearing.pk))
        page = client.get(address("drying"))
        assert [one.pk for one in page.context["must_come_off"]] == [cast.wearing.pk]
        assert "take it off and rub the horse down" in page.content.decode()

    def test_an_owner_sees_their_own_only(self, cast: Cast, sign_in: SignIn, staff: Actor) -> None:
        real = Actor(cast.staff)
        drying.mark_wet(cast.owners_blanket, place="Boiler room", actor=real)
        drying.mark_wet(cast.other_blanket, place="Loft rail", actor=real)
        seen = {
            who: {
                one.placing.blanket.tag for one in sign_in(getattr(cast, who)).get(address("drying")).context["hanging"]
            }
            for who in ("staff", "owner", "other_owner", "lessee")
        }
        assert seen == {"staff": {"WNR33", "THR55"}, "owner": {"WNR33"}, "other_owner": {"THR55"}, "lessee": set()}
