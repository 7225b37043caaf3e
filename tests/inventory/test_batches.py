"""Batches: made, handed over, checked in line by line over as many days as it takes, and their files."""

import csv
import io
import re
import uuid
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from html import unescape

import pytest
from django.test import Client

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from inventory import particulars
from inventory.domain import batches, care, care_checks, damage
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome, DamagedPart
from inventory.models import Batch, BatchLine, CareJob
from inventory.queries import batches as queries
from inventory.queries import blankets
from tests import factories as make
from tests.cast import NOW, Cast
from tests.inventory.care_walks import bring, take
from tests.inventory.sending import address, records, send

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]


@pytest.fixture
def manager(cast: Cast, act: Callable[..., Actor]) -> Actor:
    return act(cast.manager)


@pytest.fixture
def jobs(cast: Cast, manager: Actor) -> list[CareJob]:
    """A tear to be mended, with the wash it needs, and another blanket's wash with no limit named."""
    tear = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=manager, note="On the gate.")
    take(tear, CareWord.DECIDE, manager, decision=CareDecision.REPAIR, limit=Decimal("40.00"))
    other = bring(care.ask(cast.owners_blanket, CareKind.WASH, actor=manager), CareStep.DECIDED, manager)
    wash = CareJob.objects.get(blanket=cast.barn_blanket, kind="wash")
    return [tear, wash, other]


@pytest.fixture
def away(jobs: list[CareJob], manager: Actor) -> Batch:
    made = batches.make(jobs, to_whom="Mill Lane Laundry", due_on=date(2026, 1, 29), actor=manager)
    return batches.hand_over(made, actor=manager)


def outcomes(batch: Batch) -> dict[str, str]:
    return {f"{line.job.blanket.tag} {line.job.kind}": line.outcome for line in queries.lines(batch)}


class TestMaking:
    def test_washes_are_bagged_first_whatever_the_order_they_were_picked_in(self, jobs, manager: Actor) -> None:
        """Wash first always (common practice, no source)."""
        made = batches.make(jobs, to_whom="Mill Lane Laundry", actor=manager)
        assert [(line.job.blanket.tag, line.job.step, line.asked, line.limit) for line in queries.lines(made)] == [
            ("BRN88", "bagged", "Wash", None),
            ("BRN88", "bagged", "Repair: Shell: On the gate.", Decimal("40.00")),
            ("WNR33", "bagged", "Wash", None),
        ]

    def test_its_note_speaks_of_money_and_is_read_by_those_who_may(
        self, jobs, manager: Actor, cast: Cast, sign_in: SignIn
    ) -> None:
        batches.make(jobs, to_whom="Mill Lane Laundry", actor=manager, note="At most 99 in all.")
        url = address("journal_of", "blanket", cast.barn_blanket.pk)
        shown = {who: sign_in(getattr(cast, who)).get(url).content.decode() for who in ("manager", "staff")}
        assert "Manager made batch 1 for Mill Lane Laundry. “At most 99 in all.”" in shown["manager"]
        assert "Manager made batch 1 for Mill Lane Laundry." in shown["staff"]
        assert "At most 99" not in shown["staff"]

    def test_numbers_count_up_in_each_barn(self, jobs, manager: Actor, cast: Cast) -> None:
        Batch.objects.create(barn=cast.other.barn, number=7, to_whom="Theirs", made_at=NOW, made_by=cast.stranger)
        made = [batches.make([job], to_whom="A", actor=manager) for job in (jobs[1], jobs[2])]
        assert [batch.number for batch in made] == [1, 2]

    def test_one_that_cannot_be_bagged_stops_the_whole_and_is_named(self, cast: Cast, jobs, manager: Actor) -> None:
        worn = bring(care.ask(cast.worn, CareKind.WASH, actor=manager), CareStep.DECIDED, manager)
        before = records()
        with pytest.raises(Refused, match="Wash of WRN22: WRN22 is on Bramble"):
            batches.make([*jobs, worn], to_whom="A", actor=manager)
        assert records() == before

    def test_no_work_stands_on_two_lists(self, jobs, manager: Actor) -> None:
        batches.make(jobs, to_whom="A", actor=manager)
        with pytest.raises(Refused, match="on another list"):
            batches.make(jobs, to_whom="B", actor=manager)

    def test_taken_out_of_the_bag_it_leaves_the_list(self, jobs, manager: Actor) -> None:
        made = batches.make(jobs, to_whom="A", actor=manager)
        take(jobs[2], CareWord.UNBAG, manager)
        assert outcomes(batches.hand_over(made, actor=manager)) == {"BRN88 wash": "", "BRN88 repair": ""}

    def test_a_line_is_not_handed_over_without_its_batch(self, jobs, manager: Actor) -> None:
        made = batches.make(jobs, to_whom="A", actor=manager)
        with pytest.raises(Refused, match=f"batch {made.number}"):
            take(jobs[2], CareWord.HAND_OVER, manager, sent_to="B")


class TestHandingOver:
    def test_all_its_blankets_are_away_and_due(self, cast: Cast, away: Batch) -> None:
        jobs = CareJob.objects.filter(lines__batch=away)
        assert set(jobs.values_list("step", "sent_to", "due_on")) == {("away", "Mill Lane Laundry", date(2026, 1, 29))}
        found = blankets.of(cast.barn).with_condition(cast.barn, NOW)
        assert {blanket.where for blanket in found.filter(tag__in=["BRN88", "WNR33"])} == {"away"}

    def test_a_day_that_is_past_is_questioned_at_its_field(self, jobs, manager: Actor) -> None:
        yesterday = care_checks.day(manager) - timedelta(days=1)
        with pytest.raises(Refused, match="cannot be due back before today") as made:
            batches.make(jobs, to_whom="A", actor=manager, due_on=yesterday)
        single = take(jobs[2], CareWord.BAG, manager)
        with pytest.raises(Refused, match="cannot be due back before today") as alone:
            take(single, CareWord.HAND_OVER, manager, sent_to="A", due_on=yesterday)
        batch = batches.make([single], to_whom="A", actor=manager)
        with pytest.raises(Refused, match="cannot be due back before today") as handed:
            batches.hand_over(batch, actor=manager, due_on=yesterday)
        assert {one.value.field for one in (made, alone, handed)} == {"due_on"}

    def test_twice_is_refused_with_who_and_when(self, away: Batch, manager: Actor) -> None:
        with pytest.raises(Refused, match="Manager handed this batch over"):
            batches.hand_over(away, actor=manager)

    def test_an_empty_one_is_refused(self, jobs, manager: Actor) -> None:
        made = batches.make([jobs[2]], to_whom="A", actor=manager)
        take(jobs[2], CareWord.UNBAG, manager)
        with pytest.raises(Refused, match="empty"):
            batches.hand_over(made, actor=manager)


class TestCheckingIn:
    def check(self, batch: Batch, name: str, outcome: CheckOutcome, actor: Actor, **said: object) -> BatchLine:
        line = next(line for line in queries.lines(batch) if f"{line.job.blanket.tag} {line.job.kind}" == name)
        return batches.check_line(line, outcome=outcome, actor=actor, details=Details(**said))

    def test_line_by_line_and_what_is_open_stays_visible(self, away: Batch, manager: Actor, cast: Cast) -> None:
        self.check(away, "BRN88 wash", CheckOutcome.DONE, manager, cost=Decimal("22.10"))
        self.check(away, "BRN88 repair", CheckOutcome.NOT_DONE, manager, note="No thread in that colour.")
        self.check(away, "WNR33 wash", CheckOutcome.MISSING, manager)
        assert outcomes(away) == {"BRN88 wash": "done", "BRN88 repair": "not_done", "WNR33 wash": "missing"}
        counted = queries.of(cast.barn).counted().get()
        assert (counted.many, counted.open, counted.missing, counted.not_done) == (3, 1, 1, 1)
        assert set(CareJob.objects.filter(lines__batch=away).values_list("kind", "step")) == {
            ("wash", "checked"),
            ("repair", "decided"),
            ("wash", "away"),
        }

    def test_a_missing_one_that_turns_up_is_checked_in(self, away: Batch, manager: Actor) -> None:
        self.check(away, "WNR33 wash", CheckOutcome.MISSING, manager)
        line = self.check(away, "WNR33 wash", CheckOutcome.DONE, manager)
        assert (line.outcome, line.job.step) == ("done", "checked")

    def test_a_line_checked_already_says_by_whom_and_how(self, away: Batch, manager: Actor) -> None:
        self.check(away, "WNR33 wash", CheckOutcome.DONE, manager)
        with pytest.raises(Refused, match=r"Manager checked this in at .*: Done as asked"):
            self.check(away, "WNR33 wash", CheckOutcome.DAMAGED, manager)

    def test_what_was_not_done_can_go_with_the_next_batch(self, away: Batch, manager: Actor, cast: Cast) -> None:
        self.check(away, "WNR33 wash", CheckOutcome.NOT_DONE, manager)
        again = batches.make(list(queries.can_go(cast.barn)), to_whom="Elsewhere", actor=manager)
        assert outcomes(again) == {"WNR33 wash": ""}
        assert outcomes(away)["WNR33 wash"] == "not_done"

    def test_checked_in_on_the_work_page_it_is_checked_on_the_list(self, away: Batch, manager: Actor) -> None:
        take(
            CareJob.objects.get(lines__batch=away, kind="repair"), CareWord.CHECK_IN, manager, outcome=CheckOutcome.DONE
        )
        assert outcomes(away)["BRN88 repair"] == "done"

    def test_before_handing_over_nothing_is_checked_in(self, jobs, manager: Actor) -> None:
        made = batches.make(jobs, to_whom="A", actor=manager)
        with pytest.raises(Refused, match="not handed over"):
            batches.check_line(made.lines.first(), outcome=CheckOutcome.DONE, actor=manager)


WRITES = [
    ("batch_new", lambda world: (), lambda world: {"to_whom": "Laundry", "jobs": [world["jobs"][2].pk]}),
    ("batch_hand_over", lambda world: (world["made"].pk,), lambda world: {"due_on": "2100-02-01"}),
    (
        "batch_check",
        lambda world: (world["line"].pk,),
        lambda world: {"outcome": "done", "cost": "12,50", "note": "Fine."},
    ),
]
BAD = [
    ("batch_new", [{}, {"to_whom": "Laundry"}, {"to_whom": "", "jobs": "1"}, {"to_whom": "L", "jobs": "99999"}]),
    ("batch_hand_over", [{"due_on": "soon"}, {"due_on": "2020-02-01"}]),
    (
        "batch_check",
        [{}, {"outcome": "eaten"}, {"outcome": "done", "cost": "-3"}, {"outcome": "done", "cost": "1.005"}],
    ),
]


class TestPages:
    @pytest.fixture
    def world(self, cast: Cast, jobs: list[CareJob], manager: Actor) -> dict[str, object]:
        handed = batches.hand_over(batches.make([jobs[0], jobs[1]], to_whom="A", actor=manager), actor=manager)
        spare = bring(care.ask(cast.staff_owners_blanket, CareKind.WASH, actor=manager), CareStep.DECIDED, manager)
        made = batches.make([spare], to_whom="B", actor=manager)
        return {"jobs": jobs, "made": made, "line": handed.lines.first()}

    @pytest.mark.parametrize(("name", "args", "data"), WRITES)
    def test_it_works_and_sent_again_it_happens_once(self, cast, sign_in: SignIn, world, name, args, data) -> None:
        client, once, url = sign_in(cast.manager), uuid.uuid4(), address(name, *args(world))
        assert send(client, url, once=once, **data(world)).status_code == 302
        after = records()
        assert send(client, url, once=once, **data(world)).status_code == 302
        assert records() == after

    @pytest.mark.parametrize(
        ("name", "args", "bad"), [(w[0], w[1], bad) for w, b in zip(WRITES, BAD, strict=True) for bad in b[1]]
    )
    def test_a_bad_form_changes_nothing_and_says_why(self, cast, sign_in: SignIn, world, name, args, bad) -> None:
        before = records()
        answer = send(sign_in(cast.manager), address(name, *args(world)), **bad)
        assert (answer.status_code, records()) == (200, before)
        assert any(word in answer.content.decode() for word in ('class="warn"', "invalid-feedback", "alert"))

    @pytest.mark.parametrize(("name", "args", "data"), WRITES)
    @pytest.mark.parametrize("who", [None, "staff", "owner", "other_owner", "stranger"])
    def test_nobody_else(self, cast, sign_in: SignIn, world, name, args, data, who) -> None:
        before = records()
        answer = send(sign_in(getattr(cast, who) if who else None), address(name, *args(world)), **data(world))
        assert answer.status_code == (302 if who is None else 403 if name == "batch_new" and who != "stranger" else 404)
        assert records() == before

    def test_a_check_in_broken_off_goes_on_where_it_was(self, cast: Cast, sign_in: SignIn, away: Batch) -> None:
        """Two of three lines are sent, the second twice (its answer was lost); the third from another browser."""
        first, second, third = queries.lines(away)
        client = sign_in(cast.manager)
        send(client, address("batch_check", first.pk), outcome="done")
        once = uuid.uuid4()
        for _ in range(2):
            send(client, address("batch_check", second.pk), once=once, outcome="done")
        page = sign_in(cast.manager).get(address("batch", away.pk))
        assert ([line.pk for line in page.context["open"]], page.context["checked"]) == ([third.pk], 2)
        send(sign_in(cast.manager), address("batch_check", third.pk), outcome="done")
        assert sign_in(cast.manager).get(address("batch", away.pk)).context["open"] == []

    def test_what_went_without_a_batch_is_named_and_found_in_the_queue(self, cast, sign_in: SignIn, manager) -> None:
        client = sign_in(cast.manager)
        assert "without a batch" not in client.get(address("batches")).text
        bring(care.ask(cast.owners_blanket, CareKind.WASH, actor=manager), CareStep.AWAY, manager)
        bring(care.ask(cast.staff_owners_blanket, CareKind.WASH, actor=manager), CareStep.BACK, manager)
        page = client.get(address("batches")).text
        assert "2 blankets are away, or back and not checked, without a batch" in page
        assert f'href="{address("care")}?queue=all&amp;step=away"' in page
        shown = client.get(address("care") + "?queue=all&step=away").context["lines"]
        assert [line.job.blanket for line in shown] == [cast.owners_blanket]

    def test_a_refused_cost_stays_typed(self, cast: Cast, sign_in: SignIn, away: Batch) -> None:
        line = away.lines.get(job__kind="repair")
        answer = send(sign_in(cast.manager), address("batch_check", line.pk), outcome="done", cost="55")
        (panel,) = re.findall(r"<details open>.*?</details>", answer.text, re.DOTALL)
        assert "55.00 is 15.00 above what was allowed (40.00): say who approved it." in unescape(panel)
        assert 'value="55"' in panel
        assert "above what was allowed" not in answer.text.replace(panel, "")
        line.refresh_from_db()
        assert line.outcome == ""

    def test_above_the_limit_who_approved_it_stands_on_the_list_and_in_the_journal(
        self, cast: Cast, sign_in: SignIn, away: Batch
    ) -> None:
        client, line = sign_in(cast.manager), away.lines.get(job__kind="repair")
        said = {"outcome": "done", "cost": "55", "approved_by": "Owner, by telephone", "note": "Two patches."}
        assert send(client, address("batch_check", line.pk), **said).status_code == 302
        sentence = "15.00 above the limit: approved by Owner, by telephone. Two patches."
        for page in (
            address("batch", away.pk),
            address("care_job", line.job_id),
            address("journal_of", "blanket", cast.barn_blanket.pk),
        ):
            assert sentence in client.get(page).text

    def test_which_part_came_back_damaged_is_asked_and_nothing_invented(
        self, cast: Cast, sign_in: SignIn, away: Batch
    ) -> None:
        client, line = sign_in(cast.manager), away.lines.get(job__blanket__tag="WNR33")
        answer = send(client, address("batch_check", line.pk), outcome="damaged")
        (panel,) = re.findall(r"<details open>.*?</details>", answer.text, re.DOTALL)
        assert "Choose which part came back damaged." in panel
        assert not CareJob.objects.filter(blanket=line.job.blanket, kind="repair").exists()
        assert send(client, address("batch_check", line.pk), outcome="damaged", part="lining").status_code == 302
        assert CareJob.objects.get(blanket=line.job.blanket, kind="repair").part == "lining"

    def test_the_paper_says_sizes_in_words_and_whom_to_ask(self, cast: Cast, sign_in: SignIn, away: Batch) -> None:
        type(cast.manager).objects.filter(pk=cast.manager.pk).update(phone="+1 555 0100")
        blanket = cast.barn_blanket
        blanket.size_given, blanket.size_in, blanket.looks = "80", Decimal(80), "navy"
        blanket.save()
        page = unescape(sign_in(cast.manager).get(address("batch", away.pk)).text)
        assert f"navy, {particulars.size(blanket)}" in page
        assert particulars.size(blanket) != "80"
        assert "Manager, +1 555 0100" in page
        assert f"{blanket.get_kind_display()}, navy</span>" in page

    def test_the_check_in_shows_the_newest_picture_that_is_not_removed(
        self, cast: Cast, sign_in: SignIn, away: Batch
    ) -> None:
        removed = make.PictureFactory(blanket=cast.barn_blanket, at=NOW, removed_at=NOW)
        newer, older = [
            make.PictureFactory(blanket=cast.barn_blanket, at=NOW - timedelta(days=days)) for days in (1, 2)
        ]
        page = sign_in(cast.manager).get(address("batch", away.pk)).text
        shown = {one.pk: page.count(f'src="{address("picture_small", one.pk)}"') for one in (removed, newer, older)}
        assert shown == {removed.pk: 0, newer.pk: 2, older.pk: 0}

    def test_the_files_hold_every_line_and_no_formula(self, cast: Cast, sign_in: SignIn, away: Batch, manager) -> None:
        line = away.lines.get(job__kind="repair")
        batches.check_line(
            line, outcome=CheckOutcome.NOT_DONE, actor=manager, details=Details(note='=HYPERLINK("http://x.example")')
        )
        client = sign_in(cast.manager)

        def table(what: str) -> list[list[str]]:
            answer = client.get(address("batch_file", away.pk, what))
            assert answer["Content-Type"] == "text/csv; charset=utf-8"
            return list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))

        assert table("list") == [
            ["Tag", "Kind", "Owner", "Horse", "Work asked", "Ask above"],
            ["BRN88", "Turnout", "barn's own", "", "Wash", ""],
            ["BRN88", "Turnout", "barn's own", "", "Repair: Shell: On the gate.", "40.00"],
            ["WNR33", "Turnout", "Owner", "Bramble", "Wash", ""],
        ]
        assert table("check-in")[2][6:] == [
            "Not done",
            "",
            '\'=HYPERLINK("http://x.example")',
            "Manager",
            "2026-01-14 21:00",
        ]
        assert client.get(address("batch_file", away.pk, "secrets")).status_code == 404

    def test_the_lists_ask_the_database_the_same_number_of_times(
        self, cast, sign_in: SignIn, jobs, manager, django_assert_num_queries
    ) -> None:
        client = sign_in(cast.manager)
        one = batches.hand_over(batches.make([jobs[2]], to_whom="A", actor=manager), actor=manager)
        client.get(address("batches"))
        with django_assert_num_queries(6):
            assert len(client.get(address("batches")).context["batches"]) == 1
        with django_assert_num_queries(6):
            assert len(client.get(address("batch", one.pk)).context["lines"]) == 1
        with django_assert_num_queries(4):
            assert len(client.get(address("batch_new")).context["jobs"]) == 2
        extra = [care.ask(b, CareKind.WASH, actor=manager) for b in (cast.staff_owners_blanket, cast.leased_blanket)]
        bring(extra[1], CareStep.DECIDED, manager)
        with django_assert_num_queries(4):
            assert len(client.get(address("batch_new")).context["jobs"]) == 3
        three = batches.make([jobs[0], jobs[1], extra[1]], to_whom="A", actor=manager)
        batches.hand_over(three, actor=manager)
        bring(extra[0], CareStep.DECIDED, manager)
        batches.make([extra[0]], to_whom="C", actor=manager)
        with django_assert_num_queries(6):
            assert len(client.get(address("batches")).context["batches"]) == 3
        with django_assert_num_queries(6):
            assert len(client.get(address("batch", three.pk)).context["lines"]) == 3
