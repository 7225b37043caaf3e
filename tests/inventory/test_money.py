"""Costs, fees and statements. The sums are worked out by hand beside each check, in the barn's own days and months."""

import csv
import io
import re
import uuid
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from html import unescape

import pytest
from django.test import Client
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person
from horses.models import Horse
from inventory.domain import care, damage, lists, money, wearing
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareWord, DamagedPart
from inventory.models import Blanket, CareJob, FeeReason, FeeRule
from inventory.queries import money as queries
from inventory.queries.money import Month
from tests import factories as make
from tests.cast import Cast
from tests.inventory.sending import address, records, send

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]
JANUARY = Month(2026, 1)


def at(day: int, hour: int, month: int = 1) -> datetime:
    """A moment on the barn's own clock (Alaska, nine hours behind UTC in winter)."""
    return datetime(2026, month, day, hour, tzinfo=UTC) + timedelta(hours=9)


@pytest.fixture
def by(cast: Cast) -> Callable[[datetime], Actor]:
    return lambda moment: Actor(cast.staff, there_at=moment)


@pytest.fixture
def rule(cast: Cast) -> FeeRule:
    """25.00 a month, 3.00 a change above two a horse and day; the rider's wish 4.50, the veterinarian's nothing."""
    rule = make.FeeRuleFactory(barn=cast.barn)
    make.FeeReasonFactory(rule=rule)
    make.FeeReasonFactory(rule=rule, words="veterinarian", price=Decimal(0))
    return rule


@pytest.fixture
def busy_day(cast: Cast, by, rule: FeeRule) -> None:
    """Cinder on 10 January: on at 7, a swap at 12, off at 16, on again at 20; on the rider's wish off at 21."""
    horse, first, second = cast.staff_owners_horse, cast.staff_owners_blanket, cast.barn_blanket
    wearing.change(horse, to=[first], actor=by(at(10, 7)))
    wearing.change(horse, to=[second], actor=by(at(10, 12)), why="Warm.")
    wearing.change(horse, to=[], actor=by(at(10, 16)))
    wearing.change(horse, to=[first], actor=by(at(10, 20)))
    wearing.change(horse, to=[], actor=by(at(10, 21)), why="Rider's wish ")


class TestCountingChanges:
    def test_a_swap_is_one_change_and_so_are_layers_put_on_together(self, cast: Cast, by) -> None:
        horse = cast.barn_horse
        liner = make.BlanketFactory(barn=cast.barn, kind="liner", tag="LLLL2")
        wearing.change(horse, to=[liner, cast.barn_blanket], actor=by(at(10, 7)))
        wearing.change(horse, to=[liner, cast.other_blanket], actor=by(at(10, 12)), why="Dirty.")
        wearing.change(horse, to=[], actor=by(at(10, 16)))
        found = queries.changes(cast.barn, *JANUARY.span(cast.barn))
        mine = [(change.at, change.on, change.off, change.why) for change in found if change.horse == horse]
        assert mine == [
            (at(10, 7), ["LLLL2", "BRN88"], [], ""),
            (at(10, 12), ["THR55"], ["BRN88"], "Dirty."),
            (at(10, 16), [], ["LLLL2", "THR55"], ""),
        ]

    def test_a_mis_tap_taken_back_is_no_change(self, cast: Cast, by) -> None:
        day = make.ChangeListFactory(barn=cast.barn, due_at=at(10, 7), made_at=at(10, 6))
        line = make.ListLineFactory(change_list=day, horse=cast.barn_horse, tags_from=["THR55"], tags_to=["BRN88"])
        wearing.change(cast.barn_horse, to=[cast.other_blanket], actor=by(at(9, 7)))
        lists.mark_done(line, actor=by(at(10, 7)))
        lists.take_back(line, actor=by(at(10, 8)))
        wearing.change(cast.barn_horse, to=[], actor=by(at(10, 16)))
        found = queries.changes(cast.barn, *JANUARY.span(cast.barn))
        assert [change.at for change in found if change.horse == cast.barn_horse] == [at(9, 7), at(10, 16)]

    def test_months_end_at_midnight_in_the_barn(self, cast: Cast, by) -> None:
        wearing.change(cast.barn_horse, to=[cast.barn_blanket], actor=by(at(31, 23)))
        wearing.change(cast.barn_horse, to=[], actor=by(at(1, 0, month=2)))
        counts = [
            sum(change.horse == cast.barn_horse for change in queries.changes(cast.barn, *month.span(cast.barn)))
            for month in (JANUARY, JANUARY.following)
        ]
        assert counts == [1, 1]

    def test_another_barns_changes_are_not_counted(self, cast: Cast) -> None:
        found = queries.changes(cast.barn, *JANUARY.span(cast.barn))
        assert {change.horse for change in found} == {cast.owners_horse}


class TestPricing:
    def prices(self, cast: Cast, person: Person, month: Month = JANUARY) -> list[tuple[int, str]]:
        found = money.statement(cast.barn, person, month)
        return [(one.price, one.because) for horse in found.horses for one in horse.charged]

    def test_two_a_day_are_included_a_third_is_charged_and_a_reason_has_its_own_price(
        self, cast: Cast, busy_day
    ) -> None:
        assert self.prices(cast, cast.staff_owner) == [
            (Decimal("0.00"), "included"),
            (Decimal("0.00"), "included"),
            (Decimal("3.00"), "above the 2 included"),
            (Decimal("3.00"), "above the 2 included"),
            (Decimal("4.50"), "rider's wish"),
        ]

    def test_the_statement_adds_up(self, cast: Cast, busy_day) -> None:
        """25.00 for the month, 2 x 3.00, 4.50: 35.50."""
        found = money.statement(cast.barn, cast.staff_owner, JANUARY)
        [horse] = found.horses
        assert (horse.counted, horse.billed, horse.for_changes) == (5, 3, Decimal("10.50"))
        assert (found.fees, found.for_care, found.total) == (Decimal("35.50"), Decimal("0.00"), Decimal("35.50"))

    def test_a_reason_priced_at_nothing_uses_up_nothing_that_is_included(self, cast: Cast, by, rule) -> None:
        horse, blanket = cast.staff_owners_horse, cast.staff_owners_blanket
        for hour in (7, 9):
            wearing.change(horse, to=[blanket], actor=by(at(10, hour)), why="Veterinarian")
            wearing.change(horse, to=[], actor=by(at(10, hour + 1)))
        assert [price for price, _because in self.prices(cast, cast.staff_owner)] == [Decimal(0)] * 4

    def test_the_count_begins_anew_each_day_and_for_each_horse(self, cast: Cast, by, rule) -> None:
        other = make.BlanketFactory(barn=cast.barn, tag="ZZZZ2")
        for day in (10, 11):
            wearing.change(cast.staff_owners_horse, to=[cast.staff_owners_blanket], actor=by(at(day, 7)))
            wearing.change(cast.other_horse, to=[other], actor=by(at(day, 7)))
            wearing.change(cast.staff_owners_horse, to=[], actor=by(at(day, 16)))
            wearing.change(cast.other_horse, to=[], actor=by(at(day, 16)))
        assert {price for price, _because in self.prices(cast, cast.staff_owner)} == {Decimal(0)}

    def test_flat_charges_no_change_but_its_reasons(self, cast: Cast, busy_day, rule: FeeRule) -> None:
        FeeRule.objects.filter(pk=rule.pk).update(kind="flat")
        assert [price for price, _because in self.prices(cast, cast.staff_owner)] == [0, 0, 0, 0, Decimal("4.50")]

    def test_a_rule_counts_from_its_day_on_and_its_month_from_the_next_first(self, cast: Cast, busy_day) -> None:
        make.FeeRuleFactory(
            barn=cast.barn, since=date(2026, 1, 10), per_change=Decimal("7.00"), monthly=Decimal(40), included=3
        )
        found = money.statement(cast.barn, cast.staff_owner, JANUARY)
        assert [one.price for one in found.horses[0].charged] == [0, 0, 0, Decimal(7), Decimal(7)]
        assert found.horses[0].monthly == Decimal("25.00")
        assert money.statement(cast.barn, cast.staff_owner, JANUARY.following).total == Decimal("40.00")

    def test_without_a_rule_changes_are_counted_and_cost_nothing(self, cast: Cast, busy_day) -> None:
        FeeRule.objects.all().delete()
        found = money.statement(cast.barn, cast.staff_owner, JANUARY)
        assert (found.horses[0].counted, found.total) == (5, Decimal("0.00"))

    @given(st.lists(st.decimals(min_value=0, max_value=999, places=2), min_size=1, max_size=60))
    def test_sums_are_exact_to_the_cent(self, amounts: list[Decimal]) -> None:
        """Against whole cents, which cannot round."""
        charged = [
            money.Charged(queries.Change(Horse(), datetime(2026, 1, 1, tzinfo=UTC)), one, "", date(2026, 1, 1))
            for one in amounts
        ]
        cents = sum(int(one.scaleb(2)) for one in amounts)
        total = money.HorseFees(Horse(), charged=charged).total
        assert isinstance(total, Decimal)
        assert int(total.scaleb(2)) == cents


class TestWhoPays:
    def test_the_lessee_before_the_owner_and_the_owner_of_the_day(self, cast: Cast) -> None:
        payers = queries.Payers(cast.barn, JANUARY)
        assert payers.on(cast.leased_horse, date(2026, 1, 10)) == cast.lessee.pk
        assert payers.on(cast.other_horse, date(2026, 1, 10)) == cast.other_owner.pk
        assert payers.on(cast.barn_horse, date(2026, 1, 10)) is None
        assert queries.Payers(cast.barn, Month(2025, 5)).on(cast.other_horse, date(2025, 5, 10)) in {
            cast.other_owner.pk,
            cast.leaver.pk,
        }

    def test_a_horse_sold_in_the_month_is_paid_for_by_each_on_their_days(self, cast: Cast, by, rule) -> None:
        held = cast.staff_owners_horse.owners.get()
        held.until = date(2026, 1, 10)
        held.save()
        make.HorseOwnerFactory(horse=cast.staff_owners_horse, person=cast.lessee, since=date(2026, 1, 11))
        for day in (10, 11):
            wearing.change(cast.staff_owners_horse, to=[cast.staff_owners_blanket], actor=by(at(day, 7)))
            wearing.change(cast.staff_owners_horse, to=[], actor=by(at(day, 16)))
        found = money.statements(cast.barn, JANUARY)
        counted = {
            person.name: [(one.counted, one.monthly) for one in found[person.pk].horses if one.horse.name == "Cinder"]
            for person in (cast.staff_owner, cast.lessee)
        }
        assert counted == {"Staff Owner": [(2, Decimal(25))], "Lessee": [(2, Decimal(0))]}

    def test_care_is_on_the_payers_statement(self, cast: Cast) -> None:
        actor = Actor(cast.manager, there_at=at(12, 10))
        job = damage.report(cast.owners_blanket, part=DamagedPart.STRAP, usable=True, actor=actor)
        said = Details(decision=CareDecision.HERE, names_payer=True, payer=cast.other_owner)
        care.take(job, CareWord.DECIDE, actor=actor, details=said)
        care.take(job, CareWord.DO_HERE, actor=actor, details=Details(cost=Decimal("12.40")))
        found = money.statements(cast.barn, JANUARY)
        assert found[cast.other_owner.pk].for_care == Decimal("12.40")
        assert cast.owner.pk not in found or found[cast.owner.pk].for_care == 0


class TestSettingTheRule:
    GOOD = {
        "since": "2026-02-01",
        "kind": "per_change",
        "monthly": "",
        "per_change": "2,75",
        "included": "1",
        "reasons": "rider's wish: 4.50\n\nveterinarian: 0",
    }

    def test_it_works_and_again_from_the_same_day_replaces_it(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.manager)
        assert send(client, address("fee_rule"), **self.GOOD).status_code == 302
        send(client, address("fee_rule"), **self.GOOD | {"per_change": "3", "reasons": ""})
        assert list(FeeRule.objects.values_list("since", "per_change", "included", "monthly")) == [
            (date(2026, 2, 1), Decimal("3.00"), 1, Decimal(0))
        ]
        assert not FeeReason.objects.exists()
        last = JournalEntry.objects.filter(action="fee_rule_set").order_by("pk").last()
        assert (last.before["per_change"], last.before["reasons"]) == ("2.75", "rider's wish: 4.50; veterinarian: 0.00")

    @pytest.mark.parametrize(
        "bad",
        [
            {"since": ""},
            {"kind": "barter"},
            {"included": "-1"},
            {"per_change": "1.005"},
            {"monthly": "-2"},
            {"reasons": "no price"},
            {"reasons": ": 3"},
            {"reasons": "a: 1.005"},
            {"reasons": "a: -1"},
            {"reasons": "a: NaN"},
            {"reasons": "a: 1e9"},
            {"reasons": "a: 1\nA: 2"},
        ],
    )
    def test_a_bad_form_changes_nothing_and_says_why(self, cast: Cast, sign_in: SignIn, bad: dict[str, str]) -> None:
        before = records()
        answer = send(sign_in(cast.manager), address("fee_rule"), **self.GOOD | bad)
        assert (answer.status_code, records()) == (200, before)
        assert "invalid-feedback" in answer.content.decode()

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("staff", 403), ("other_owner", 403), ("stranger", 404)])
    def test_nobody_else(self, cast: Cast, sign_in: SignIn, who: str | None, status: int) -> None:
        before = records()
        answer = send(sign_in(getattr(cast, who) if who else None), address("fee_rule"), **self.GOOD)
        assert (answer.status_code, records()) == (status, before)

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn) -> None:
        client, once = sign_in(cast.manager), uuid.uuid4()
        assert [send(client, address("fee_rule"), once=once, **self.GOOD).status_code for _ in range(2)] == [302, 302]
        assert JournalEntry.objects.filter(action="fee_rule_set").count() == 1


class TestPages:
    @pytest.fixture
    def spent(self, cast: Cast) -> None:
        """Repairs of 61.37 for the owner's blanket, worn by Bramble, and 20.05 for the barn's; next year's 9.00."""
        for blanket, moment, cost in (
            (cast.owners_blanket, at(12, 10), "61.37"),
            (cast.barn_blanket, at(3, 10, month=2), "20.05"),
            (cast.barn_blanket, at(3, 10, month=2) + timedelta(days=365), "9.00"),
        ):
            actor = Actor(cast.manager, there_at=moment)
            job = damage.report(blanket, part=DamagedPart.STRAP, usable=True, actor=actor)
            care.take(job, CareWord.DECIDE, actor=actor, details=Details(decision=CareDecision.HERE))
            care.take(job, CareWord.DO_HERE, actor=actor, details=Details(cost=Decimal(cost)))

    def sums(self, client: Client, by: str) -> list[tuple[str, Decimal]]:
        page = client.get(address("money") + f"?year=2026&by={by}")
        return [(one.label, one.total) for one in page.context["sums"]]

    def test_costs_by_blanket_horse_payer_and_month(self, cast: Cast, sign_in: SignIn, spent: None) -> None:
        client = sign_in(cast.manager)
        first, second = Decimal("61.37"), Decimal("20.05")
        assert self.sums(client, "blanket") == [("WNR33", first), ("BRN88", second)]
        assert self.sums(client, "horse") == [("Bramble", first), ("no horse", second)]
        assert self.sums(client, "owner") == [("Owner", first), ("the barn", second)]
        assert self.sums(client, "month") == [("January 2026", first), ("February 2026", second)]
        assert client.get(address("money") + "?year=2026").context["total"] == Decimal("81.42")

    def test_price_age_and_share_stand_beside_each_blanket(self, cast: Cast, sign_in: SignIn, spent: None) -> None:
        """61.37 of 80.00 are 77 %; 20.05 and next year's 9.00 of 290.50 are 10 %; bought 730 days ago: 2.0 years."""
        today = queries.today(cast.barn, timezone.now())
        Blanket.objects.filter(tag="WNR33").update(price=Decimal("80.00"), bought_on=today - timedelta(days=730))
        Blanket.objects.filter(tag="BRN88").update(price=Decimal("290.50"), bought_on=None)
        page = sign_in(cast.manager).get(address("money") + "?year=2026&by=blanket")
        weighed = {one.label: one.weighed for one in page.context["sums"]}
        assert {tag: (one.price, one.years, one.share) for tag, one in weighed.items()} == {
            "WNR33": (Decimal("80.00"), "2.0", 77),
            "BRN88": (Decimal("290.50"), "", 10),
        }
        assert (weighed["WNR33"].replace, weighed["BRN88"].replace) == (True, False)
        assert "repair or replace?" in page.text
        assert "Price" not in sign_in(cast.manager).get(address("money") + "?year=2026&by=month").text

    def test_who_pays_for_anothers_blanket_sees_no_price_and_no_link_that_leads_nowhere(
        self, cast: Cast, sign_in: SignIn, spent: None
    ) -> None:
        Blanket.objects.filter(tag="WNR33").update(price=Decimal("876.00"))
        CareJob.objects.filter(blanket__tag="WNR33").update(payer=cast.other_owner)
        blanket = Blanket.objects.get(tag="WNR33")
        for who, seen in (("other_owner", False), ("owner", True)):
            client = sign_in(getattr(cast, who))
            page = client.get(address("money") + "?year=2026").text
            assert "WNR33" in page
            assert ("876.00" in page, f'href="{address("blanket", blanket.pk)}"' in page) == (seen, seen)
            assert client.get(address("blanket", blanket.pk)).status_code == (200 if seen else 404)

    def test_an_owner_sees_their_own_costs(self, cast: Cast, sign_in: SignIn, spent: None) -> None:
        assert self.sums(sign_in(cast.owner), "blanket") == [("WNR33", Decimal("61.37"))]
        assert self.sums(sign_in(cast.other_owner), "blanket") == []

    def test_odd_years_are_left_at_this_one(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.manager)
        for year in ("", "x", "99999", "²024", "1066"):
            assert client.get(address("money"), {"year": year}).context["year"] >= 2026
        assert client.get(address("statements", 2026, 13)).status_code == 404

    def test_the_queries_do_not_grow(
        self, cast: Cast, sign_in: SignIn, busy_day, spent, django_assert_num_queries
    ) -> None:
        client = sign_in(cast.manager)
        urls = {
            address("money") + "?year=2026": 9,
            address("statements", 2026, 1): 11,
            address("statement", cast.staff_owner.pk, 2026, 1): 14,
        }
        for again in (False, True):
            if again:
                for blanket in Blanket.objects.filter(barn=cast.barn, tag__in=["THR55", "LSD77"]):
                    actor = Actor(cast.manager, there_at=at(20, 9))
                    job = care.ask(blanket, CareKind.REPAIR, actor=actor)
                    care.take(job, CareWord.DECIDE, actor=actor, details=Details(decision=CareDecision.HERE))
                    care.take(job, CareWord.DO_HERE, actor=actor, details=Details(cost=Decimal(5)))
            for url, queries_asked in urls.items():
                client.get(url)
                with django_assert_num_queries(queries_asked):
                    client.get(url)

    def test_no_year_ahead_is_offered(self, cast: Cast, sign_in: SignIn) -> None:
        client, now = sign_in(cast.manager), queries.today(cast.barn, timezone.now()).year
        offered = [
            set(map(int, re.findall(r'\?year=([0-9]{4})&amp;by=blanket"', client.get(address("money") + query).text)))
            for query in ("", f"?year={now - 1}")
        ]
        assert offered == [{now - 1, now}, {now - 2, now - 1, now}]

    @pytest.mark.parametrize("price", [None, "0.00", "1.50"])
    def test_a_reason_is_said_once_whatever_it_costs(
        self, cast: Cast, sign_in: SignIn, busy_day, rule: FeeRule, price: str | None
    ) -> None:
        FeeReason.objects.all().delete()
        if price is None:
            FeeRule.objects.all().delete()
        else:
            FeeReason.objects.create(barn=cast.barn, rule=rule, words="rider's wish", price=price)
        client, args = sign_in(cast.staff_owner), (cast.staff_owner.pk, 2026, 1)
        page = unescape(client.get(address("statement", *args)).text).casefold()
        assert page.count("rider's wish") == 1
        table = list(csv.reader(io.StringIO(client.get(address("statement_file", *args)).content.decode("utf-8-sig"))))
        said = "Rider's wish / no fee rule yet" if price is None else "rider's wish"
        assert [row[5] for row in table if "wish" in row[5]] == [said]
        total = money.statement(cast.barn, cast.staff_owner, JANUARY).total
        assert table[-1][4:7] == ["In all", "", str(total)]

    def test_the_file_says_the_same_as_the_page(self, cast: Cast, sign_in: SignIn, busy_day) -> None:
        answer = sign_in(cast.staff_owner).get(address("statement_file", cast.staff_owner.pk, 2026, 1))
        table = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
        assert table[1:] == [
            ["2026-01-01", "", "Cinder", "", "monthly amount", "", "25.00", "USD"],
            ["2026-01-10", "07:00", "Cinder", "'+STF66", "change", "included", "0.00", "USD"],
            ["2026-01-10", "12:00", "Cinder", "'+BRN88 -STF66", "change", "Warm. / included", "0.00", "USD"],
            ["2026-01-10", "16:00", "Cinder", "'-BRN88", "change", "above the 2 included", "3.00", "USD"],
            ["2026-01-10", "20:00", "Cinder", "'+STF66", "change", "above the 2 included", "3.00", "USD"],
            ["2026-01-10", "21:00", "Cinder", "'-STF66", "change", "rider's wish", "4.50", "USD"],
            ["", "", "", "", "In all", "", "35.50", "USD"],
        ]
        page = sign_in(cast.manager).get(address("statement", cast.staff_owner.pk, 2026, 1)).content.decode()
        assert "35.50 USD" in page
