"""Every step of a care job and every refusal; the order of work is common practice, no source (see each check)."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

import pytest

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry
from inventory.domain import care, care_table, damage, wearing
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome, DamagedPart, Keeping
from inventory.models import Blanket, CareJob, CareMove, Placing
from inventory.models.care import OFF_SITE
from inventory.queries import blankets
from inventory.queries import care as queries
from tests import factories as make
from tests.cast import NOW, Cast
from tests.inventory.care_walks import TO_STEP, bring, take, wash

pytestmark = pytest.mark.django_db

ENDS = {CareStep.CHECKED, CareStep.CLOSED, CareStep.RETIRED}
BROUGHT_BACK = {(step, CareWord.CHECK_IN) for step in OFF_SITE}
"""Checking in what is still away brings it back first."""
OUT_OF_ORDER = [
    (step, word)
    for step in CareStep
    for word in CareWord
    if word not in care_table.TABLE[step] and (step, word) not in BROUGHT_BACK
]


@pytest.fixture
def manager(cast: Cast, act: Callable[..., Actor]) -> Actor:
    return act(cast.manager)


@pytest.fixture
def owner(cast: Cast, act: Callable[..., Actor]) -> Actor:
    return act(cast.owner)


def condition(blanket: Blanket) -> Blanket:
    return blankets.of(blanket.barn).with_condition(blanket.barn, NOW).get(pk=blanket.pk)


def answers(blanket: Blanket) -> tuple[str, str, str, str]:
    found = condition(blanket)
    return (found.where, found.wet, found.clean, found.sound)


def test_the_table_names_every_step_and_every_word_has_an_effect() -> None:
    assert set(care_table.TABLE) == set(CareStep)
    assert {word for moves in care_table.TABLE.values() for word in moves} == set(CareWord) == set(care.EFFECTS)
    assert {step for step, moves in care_table.TABLE.items() if not moves} == ENDS


@pytest.mark.parametrize("step", CareStep)
def test_every_step_can_be_reached(cast: Cast, manager: Actor, step: CareStep) -> None:
    job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), step, manager)
    assert (job.closed_at is not None) == (step in ENDS)


@pytest.mark.parametrize(("step", "word"), OUT_OF_ORDER)
def test_a_step_out_of_order_is_refused_and_says_what_is_possible(
    cast: Cast, manager: Actor, step: CareStep, word: CareWord
) -> None:
    job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), step, manager)
    before = CareMove.objects.count(), JournalEntry.objects.count()
    with pytest.raises(Refused) as refused:
        take(job, word, manager, decision=CareDecision.WASH, outcome=CheckOutcome.DONE)
    for possible in care_table.possible(step):
        assert possible.label.lower() in refused.value.sentence
    job.refresh_from_db()
    assert (job.step, (CareMove.objects.count(), JournalEntry.objects.count())) == (step, before)


def test_every_step_is_written_down_with_who_when_cost_and_note(cast: Cast, manager: Actor) -> None:
    job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.BACK, manager)
    take(job, CareWord.CHECK_IN, manager, outcome=CheckOutcome.DONE, cost=Decimal("31.50"), note="Clean.")
    assert list(job.moves.values_list("word", "came_from", "went_to", "by", "at", "cost", "note")) == [
        ("report", "reported", "reported", cast.manager.pk, NOW, None, ""),
        ("decide", "reported", "decided", cast.manager.pk, NOW, None, ""),
        ("bag", "decided", "bagged", cast.manager.pk, NOW, None, ""),
        ("hand_over", "bagged", "away", cast.manager.pk, NOW, None, ""),
        ("come_back", "away", "back", cast.manager.pk, NOW, None, ""),
        ("check_in", "back", "checked", cast.manager.pk, NOW, Decimal("31.50"), "Clean."),
    ]
    actions = JournalEntry.objects.filter(subjects__kind="blanket", subjects__subject_id=cast.barn_blanket.pk)
    assert list(actions.order_by("pk").values_list("action", flat=True)) == [
        "care_asked",
        "care_decided",
        "care_bagged",
        "care_handed_over",
        "care_came_back",
        "care_checked_in",
    ]


def test_where_clean_and_sound_follow_from_the_work_alone(cast: Cast, manager: Actor) -> None:
    blanket = cast.barn_blanket
    seen = [answers(blanket)]
    job = care.ask(blanket, CareKind.WASH, actor=manager)
    for step in (CareStep.REPORTED, CareStep.DECIDED, CareStep.BAGGED, CareStep.AWAY, CareStep.BACK, CareStep.CHECKED):
        for word, details in care_walk(job.step, step):
            job = care.take(job, word, actor=manager, details=details)
        seen.append(answers(blanket))
    assert seen == [
        ("rack", "dry", "clean", "sound"),
        ("rack", "dry", "wash_due", "sound"),
        ("rack", "dry", "wash_due", "sound"),
        ("bagged", "dry", "wash_due", "sound"),
        ("away", "dry", "wash_due", "sound"),
        ("unchecked", "dry", "wash_due", "sound"),
        ("rack", "dry", "clean", "sound"),
    ]


def care_walk(at: str, to: CareStep) -> list[tuple[CareWord, Details]]:
    done = len(TO_STEP[CareStep(at)])
    return TO_STEP[to][done:]


def test_the_farthest_of_several_jobs_says_where_a_blanket_is(cast: Cast, manager: Actor) -> None:
    blanket = cast.barn_blanket
    washing = care.ask(blanket, CareKind.WASH, actor=manager)
    strap = damage.report(blanket, part=DamagedPart.STRAP, usable=True, actor=manager)
    take(washing, CareWord.DECIDE, manager, decision=CareDecision.WASH)
    take(washing, CareWord.BAG, manager)
    take(washing, CareWord.HAND_OVER, manager, sent_to="Mill Lane Laundry")
    take(strap, CareWord.DECIDE, manager, decision=CareDecision.REPAIR)
    take(strap, CareWord.BAG, manager)
    assert condition(blanket).where == "away"
    take(washing, CareWord.COME_BACK, manager)
    assert condition(blanket).where == "unchecked"


class TestDeciding:
    def test_repair_opens_the_wash_that_comes_first(self, cast: Cast, manager: Actor) -> None:
        tear = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=manager)
        take(tear, CareWord.DECIDE, manager, decision=CareDecision.REPAIR, limit=Decimal(40))
        jobs = CareJob.objects.filter(blanket=cast.barn_blanket).order_by("kind")
        assert list(jobs.values_list("kind", "step", "decision")) == [
            ("repair", "decided", "repair"),
            ("wash", "decided", "wash"),
        ]

    def test_repair_of_a_washed_blanket_opens_no_other_wash(self, cast: Cast, manager: Actor) -> None:
        wash(cast.barn_blanket, manager)
        tear = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=manager)
        take(tear, CareWord.DECIDE, manager, decision=CareDecision.REPAIR)
        assert CareJob.objects.filter(blanket=cast.barn_blanket, kind="wash", closed_at=None).count() == 0

    def test_waterproofing_is_refused_on_an_open_tear(self, cast: Cast, manager: Actor) -> None:
        damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=manager)
        leak = damage.report(cast.barn_blanket, part=DamagedPart.LEAK, usable=True, actor=manager)
        with pytest.raises(Refused, match="open tear"):
            take(leak, CareWord.DECIDE, manager, decision=CareDecision.WATERPROOF)

    def test_waterproofing_may_follow_the_repair_on_one_way(self, cast: Cast, manager: Actor) -> None:
        tear = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=manager)
        leak = damage.report(cast.barn_blanket, part=DamagedPart.LEAK, usable=True, actor=manager)
        take(tear, CareWord.DECIDE, manager, decision=CareDecision.REPAIR)
        take(leak, CareWord.DECIDE, manager, decision=CareDecision.WATERPROOF)
        washing = CareJob.objects.get(blanket=cast.barn_blanket, kind="wash", closed_at=None)
        with pytest.raises(Refused, match="Wash comes first"):
            take(tear, CareWord.BAG, manager)
        take(washing, CareWord.BAG, manager)
        with pytest.raises(Refused, match="open tear"):
            take(leak, CareWord.BAG, manager)
        take(tear, CareWord.BAG, manager)
        take(leak, CareWord.BAG, manager)
        assert {job.step for job in CareJob.objects.filter(blanket=cast.barn_blanket)} == {"bagged"}

    def test_do_not_use_is_not_ignored_without_a_reason(self, cast: Cast, manager: Actor) -> None:
        job = damage.report(cast.barn_blanket, part=DamagedPart.BUCKLE, usable=False, actor=manager)
        with pytest.raises(Refused) as refused:
            take(job, CareWord.DECIDE, manager, decision=CareDecision.IGNORE)
        assert refused.value.field == "note"
        take(job, CareWord.DECIDE, manager, decision=CareDecision.IGNORE, note="Only stiff; oiled.")
        assert condition(cast.barn_blanket).sound == "sound"

    def test_retire_ends_all_open_work_and_the_blanket_is_retired(self, cast: Cast, manager: Actor) -> None:
        job = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=False, actor=manager)
        care.ask(cast.barn_blanket, CareKind.WASH, actor=manager)
        take(job, CareWord.DECIDE, manager, decision=CareDecision.RETIRE, note="Not worth mending.")
        assert {job.step for job in CareJob.objects.filter(blanket=cast.barn_blanket)} == {"retired"}
        assert condition(cast.barn_blanket).where == "retired"
        assert JournalEntry.objects.filter(action="blanket_retired").count() == 1

    def test_only_a_manager_names_who_pays(self, cast: Cast, manager: Actor, owner: Actor) -> None:
        job = damage.report(cast.owners_blanket, part=DamagedPart.STRAP, usable=True, actor=owner)
        assert job.payer == cast.owner
        take(job, CareWord.DECIDE, owner, decision=CareDecision.HERE, names_payer=True, payer=None)
        job.refresh_from_db()
        assert job.payer == cast.owner
        take(job, CareWord.DECIDE, manager, decision=CareDecision.HERE, names_payer=True, payer=cast.other_owner)
        job.refresh_from_db()
        assert job.payer == cast.other_owner

    def test_the_second_to_decide_sees_who_was_first(self, cast: Cast, manager: Actor, owner: Actor) -> None:
        job = damage.report(cast.owners_blanket, part=DamagedPart.STRAP, usable=True, actor=owner)
        care.take(job, CareWord.DECIDE, actor=owner, details=Details(decision=CareDecision.HERE), turn=job.turn)
        with pytest.raises(Refused) as refused:
            care.take(job, CareWord.DECIDE, actor=manager, details=Details(decision=CareDecision.RETIRE), turn=job.turn)
        assert "Owner was there first" in refused.value.sentence
        assert "Do it here in the barn" in refused.value.sentence


class TestQuotes:
    def away(self, blanket: Blanket, actor: Actor, limit: Decimal | None) -> CareJob:
        job = care.ask(blanket, CareKind.WASH, actor=actor)
        take(job, CareWord.DECIDE, actor, decision=CareDecision.WASH, limit=limit)
        take(job, CareWord.BAG, actor)
        return take(job, CareWord.HAND_OVER, actor, sent_to="Mill Lane Laundry")

    @pytest.mark.parametrize(
        ("limit", "quote", "step"),
        [
            ("50.00", "50.00", "approved"),
            ("50.00", "50.01", "quoted"),
            (None, "1.00", "quoted"),
            ("0.00", "0.00", "approved"),
        ],
    )
    def test_a_quote_within_the_limit_needs_no_asking(
        self, cast: Cast, manager: Actor, limit: str | None, quote: str, step: str
    ) -> None:
        job = self.away(cast.barn_blanket, manager, Decimal(limit) if limit else None)
        assert take(job, CareWord.QUOTE, manager, quote=Decimal(quote)).step == step

    def test_a_quote_needs_its_amount(self, cast: Cast, manager: Actor) -> None:
        with pytest.raises(Refused) as refused:
            take(self.away(cast.barn_blanket, manager, None), CareWord.QUOTE, manager)
        assert refused.value.field == "quote"

    def test_above_the_limit_the_payer_decides_or_a_manager_writes_the_payers_word(
        self, cast: Cast, manager: Actor, owner: Actor
    ) -> None:
        job = self.away(cast.owners_blanket, manager, Decimal(20))
        take(job, CareWord.QUOTE, manager, quote=Decimal(45))
        with pytest.raises(Refused, match="Owner pays for this"):
            take(job, CareWord.APPROVE, manager)
        assert take(job, CareWord.APPROVE, owner).step == "approved"

    def test_a_cost_above_the_limit_needs_an_approved_quote_or_a_name(self, cast: Cast, manager: Actor) -> None:
        job = self.away(cast.barn_blanket, manager, Decimal(20))
        bill = {"outcome": CheckOutcome.DONE, "cost": Decimal("45.01")}
        with pytest.raises(Refused, match=r"45.01 is 25.01 above what was allowed \(20.00\)") as refused:
            take(job, CareWord.CHECK_IN, manager, **bill, note="Cuff sewn.")
        assert refused.value.field == "approved_by"
        take(job, CareWord.QUOTE, manager, quote=Decimal(45))
        take(job, CareWord.APPROVE, manager)
        with pytest.raises(Refused, match=r"45.01 is 0.01 above what was allowed \(45.00\)"):
            take(job, CareWord.CHECK_IN, manager, **bill)
        assert take(job, CareWord.CHECK_IN, manager, **bill | {"cost": Decimal(45)}).step == "checked"

    def test_who_approved_it_is_enough(self, cast: Cast, manager: Actor) -> None:
        job = self.away(cast.barn_blanket, manager, Decimal(20))
        said = {"outcome": CheckOutcome.DONE, "cost": Decimal(45), "approved_by": "Owner"}
        assert take(job, CareWord.CHECK_IN, manager, **said).step == "checked"
        assert job.moves.get(word="check_in").note == "25.00 above the limit: approved by Owner."

    def test_an_owner_cannot_spend_the_barns_money(self, cast: Cast, manager: Actor, owner: Actor) -> None:
        job = self.away(cast.owners_blanket, manager, None)
        CareJob.objects.filter(pk=job.pk).update(payer=None)
        take(job, CareWord.QUOTE, manager, quote=Decimal(45))
        with pytest.raises(Refused, match="The barn pays for this and decides"):
            take(job, CareWord.APPROVE, owner)

    def test_a_declined_one_comes_back_too_and_waits_for_another_decision(self, cast: Cast, manager: Actor) -> None:
        job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.DECLINED, manager)
        take(job, CareWord.COME_BACK, manager)
        assert condition(cast.barn_blanket).where == "unchecked"
        assert take(job, CareWord.CHECK_IN, manager, outcome=CheckOutcome.NOT_DONE).step == "reported"


class TestBagging:
    def test_a_worn_blanket_cannot_be_bagged(self, cast: Cast, manager: Actor) -> None:
        job = care.ask(cast.worn, CareKind.WASH, actor=manager)
        take(job, CareWord.DECIDE, manager, decision=CareDecision.WASH)
        with pytest.raises(Refused, match="is on Bramble"):
            take(job, CareWord.BAG, manager)

    def test_a_bagged_blanket_cannot_be_put_on(self, cast: Cast, manager: Actor) -> None:
        bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.BAGGED, manager)
        with pytest.raises(Refused, match="bagged"):
            wearing.put_on(cast.barn_blanket, horse=cast.barn_horse, actor=manager)

    @pytest.mark.parametrize("kind", [Keeping.LENT, Keeping.HOME])
    def test_what_is_not_here_cannot_be_bagged(self, cast: Cast, manager: Actor, kind: Keeping) -> None:
        make.PlacingFactory(blanket=cast.barn_blanket, kind=kind)
        job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.DECIDED, manager)
        with pytest.raises(Refused, match="is not here"):
            take(job, CareWord.BAG, manager)

    def test_what_is_to_be_done_here_is_not_bagged_and_the_other_way_round(self, cast: Cast, manager: Actor) -> None:
        job = care.ask(cast.barn_blanket, CareKind.WASH, actor=manager)
        take(job, CareWord.DECIDE, manager, decision=CareDecision.HERE)
        with pytest.raises(Refused, match="here in the barn"):
            take(job, CareWord.BAG, manager)
        take(job, CareWord.DECIDE, manager, decision=CareDecision.WASH)
        with pytest.raises(Refused, match="send this out"):
            take(job, CareWord.DO_HERE, manager)

    def test_handing_over_names_to_whom(self, cast: Cast, manager: Actor) -> None:
        job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.BAGGED, manager)
        with pytest.raises(Refused) as refused:
            take(job, CareWord.HAND_OVER, manager, sent_to="  ")
        assert refused.value.field == "sent_to"


class TestDoneHere:
    def test_waterproofing_here_needs_a_wash_and_sets_the_day(self, cast: Cast, manager: Actor) -> None:
        job = care.ask(cast.barn_blanket, CareKind.WATERPROOFING, actor=manager)
        take(job, CareWord.DECIDE, manager, decision=CareDecision.HERE)
        with pytest.raises(Refused, match="Wash comes first"):
            take(job, CareWord.DO_HERE, manager)
        wash(cast.barn_blanket, manager)
        take(job, CareWord.DO_HERE, manager)
        cast.barn_blanket.refresh_from_db()
        assert cast.barn_blanket.proofed_on == date(2026, 1, 14)

    def test_a_wash_before_it_was_last_worn_does_not_count(self, cast: Cast, manager: Actor, act) -> None:
        wash(cast.barn_blanket, act(cast.manager, there_at=NOW - timedelta(days=3)))
        put = act(cast.manager, there_at=NOW - timedelta(days=2))
        worn = wearing.put_on(cast.barn_blanket, horse=cast.barn_horse, actor=put)
        wearing.take_off(worn, actor=act(cast.manager, there_at=NOW - timedelta(days=1)))
        job = care.ask(cast.barn_blanket, CareKind.WATERPROOFING, actor=manager)
        take(job, CareWord.DECIDE, manager, decision=CareDecision.HERE)
        with pytest.raises(Refused, match="Wash comes first"):
            take(job, CareWord.DO_HERE, manager)

    def test_a_strap_is_mended_on_the_horse(self, cast: Cast, manager: Actor) -> None:
        """Small repairs in the barn need no wash (common practice, no source)."""
        job = damage.report(cast.worn, part=DamagedPart.STRAP, usable=False, actor=manager)
        take(job, CareWord.DECIDE, manager, decision=CareDecision.HERE)
        take(job, CareWord.DO_HERE, manager, cost=Decimal("4.20"))
        assert answers(cast.worn) == ("on_horse", "dry", "clean", "sound")


class TestTemporaryFix:
    def fixed(self, cast: Cast, actor: Actor, **said: object) -> CareJob:
        job = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=False, actor=actor)
        return take(job, CareWord.FIX, actor, **said)

    def test_it_shows_until_mended_with_its_day(self, cast: Cast, manager: Actor) -> None:
        job = self.fixed(cast, manager, until=date(2026, 1, 20), usable=True)
        found = condition(cast.barn_blanket)
        assert (found.sound, found.fixed_until) == ("temporary_fix", date(2026, 1, 20))
        take(job, CareWord.DECIDE, manager, decision=CareDecision.HERE)
        assert condition(cast.barn_blanket).sound == "temporary_fix"
        take(job, CareWord.DO_HERE, manager)
        assert condition(cast.barn_blanket).sound == "sound"

    def test_it_does_not_lift_do_not_use_by_itself(self, cast: Cast, manager: Actor) -> None:
        self.fixed(cast, manager, until=date(2026, 1, 20))
        assert condition(cast.barn_blanket).sound == "do_not_use"

    @pytest.mark.parametrize("until", [None, date(2026, 1, 13)])
    def test_it_needs_a_day_that_is_not_past(self, cast: Cast, manager: Actor, until: date | None) -> None:
        with pytest.raises(Refused) as refused:
            self.fixed(cast, manager, until=until)
        assert refused.value.field == "until"

    def test_dirt_has_no_temporary_fix(self, cast: Cast, manager: Actor) -> None:
        with pytest.raises(Refused, match="Only a repair"):
            take(
                care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareWord.FIX, manager, until=date(2026, 2, 1)
            )


class TestCheckingIn:
    def back(self, cast: Cast, actor: Actor) -> CareJob:
        return bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=actor), CareStep.BACK, actor)

    def test_not_done_stays_open_to_be_sent_again(self, cast: Cast, manager: Actor) -> None:
        job = take(self.back(cast, manager), CareWord.CHECK_IN, manager, outcome=CheckOutcome.NOT_DONE)
        assert (job.step, job.outcome, job.closed_at) == ("decided", "not_done", None)
        assert answers(cast.barn_blanket) == ("rack", "dry", "wash_due", "sound")

    def test_damaged_stays_open_and_is_marked_do_not_use(self, cast: Cast, manager: Actor) -> None:
        job = take(self.back(cast, manager), CareWord.CHECK_IN, manager, outcome=CheckOutcome.DAMAGED, part="shell")
        assert (job.step, job.closed_at) == ("reported", None)
        repair = CareJob.objects.get(blanket=cast.barn_blanket, kind="repair")
        assert (repair.step, repair.do_not_use) == ("reported", True)
        assert condition(cast.barn_blanket).state == "do_not_use"

    def test_missing_stays_away_and_overdue_until_it_turns_up(self, cast: Cast, manager: Actor) -> None:
        job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.AWAY, manager)
        take(job, CareWord.MISS, manager)
        assert list(queries.of(cast.barn).overdue(date(2026, 1, 14))) == [job]
        assert condition(cast.barn_blanket).where == "away"
        take(job, CareWord.CHECK_IN, manager, outcome=CheckOutcome.DONE)
        assert answers(cast.barn_blanket) == ("rack", "dry", "clean", "sound")

    def test_what_is_back_is_not_missing(self, cast: Cast, manager: Actor) -> None:
        with pytest.raises(Refused, match="not missing"):
            take(self.back(cast, manager), CareWord.CHECK_IN, manager, outcome=CheckOutcome.MISSING)

    def test_all_work_of_a_blanket_comes_back_with_it(self, cast: Cast, manager: Actor) -> None:
        washing = care.ask(cast.barn_blanket, CareKind.WASH, actor=manager)
        strap = damage.report(cast.barn_blanket, part=DamagedPart.STRAP, usable=True, actor=manager)
        take(washing, CareWord.DECIDE, manager, decision=CareDecision.WASH)
        take(strap, CareWord.DECIDE, manager, decision=CareDecision.REPAIR)
        for job in (washing, strap):
            take(job, CareWord.BAG, manager)
            take(job, CareWord.HAND_OVER, manager, sent_to="Mill Lane Laundry")
        take(washing, CareWord.CHECK_IN, manager, outcome=CheckOutcome.DONE)
        strap.refresh_from_db()
        assert (strap.step, condition(cast.barn_blanket).where) == ("back", "unchecked")

    def test_it_goes_back_on_its_rack_wherever_it_was_before(self, cast: Cast, manager: Actor) -> None:
        make.PlacingFactory(blanket=cast.barn_blanket, kind=Keeping.STORED, place="Loft")
        wash(cast.barn_blanket, manager)
        assert condition(cast.barn_blanket).where == "rack"


class TestLostAndFound:
    def test_lost_keeps_the_work_open_and_found_has_to_be_looked_at(self, cast: Cast, manager: Actor) -> None:
        job = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=False, actor=manager)
        take(job, CareWord.LOSE, manager)
        assert (condition(cast.barn_blanket).where, CareJob.objects.get(pk=job.pk).step) == ("lost", "lost")
        take(job, CareWord.FIND, manager)
        found = condition(cast.barn_blanket)
        assert (found.where, found.state) == ("unchecked", "do_not_use")

    def test_a_worn_blanket_is_not_lost(self, cast: Cast, manager: Actor) -> None:
        with pytest.raises(Refused, match="is on Bramble"):
            care.lose(cast.worn, actor=manager)

    def test_what_is_not_lost_cannot_be_found_nor_lost_twice(self, cast: Cast, manager: Actor) -> None:
        with pytest.raises(Refused, match="not marked lost"):
            care.find(cast.barn_blanket, actor=manager)
        care.lose(cast.barn_blanket, actor=manager)
        with pytest.raises(Refused, match="Lost"):
            care.lose(cast.barn_blanket, actor=manager)

    def test_retired_twice_is_refused_and_nothing_more_can_be_reported(self, cast: Cast, manager: Actor) -> None:
        care.retire(cast.barn_blanket, actor=manager)
        with pytest.raises(Refused, match="retired already"):
            care.retire(cast.barn_blanket, actor=manager)
        with pytest.raises(Refused, match="Retired"):
            damage.report(cast.barn_blanket, part=DamagedPart.STRAP, usable=True, actor=manager)

    def test_one_placing_stays_open(self, cast: Cast, manager: Actor) -> None:
        make.PlacingFactory(blanket=cast.barn_blanket, kind=Keeping.RACK)
        care.lose(cast.barn_blanket, actor=manager)
        assert Placing.objects.filter(blanket=cast.barn_blanket, until=None).count() == 1


class TestWaterproofingDue:
    @pytest.mark.parametrize(
        ("proofed_on", "bought_on", "due"),
        [
            (date(2025, 1, 14), None, True),
            (date(2025, 1, 15), None, False),
            (None, date(2024, 1, 1), True),
            (None, None, False),
            (date(2025, 12, 1), date(2019, 1, 1), False),
        ],
    )
    def test_twelve_months_after_the_last_one(self, cast: Cast, proofed_on, bought_on, due: bool) -> None:
        """About yearly (common practice, no source); the day is the barn's own, 14 January there."""
        Blanket.objects.filter(pk=cast.barn_blanket.pk).update(proofed_on=proofed_on, bought_on=bought_on)
        assert condition(cast.barn_blanket).proofing_due is due

    def test_after_as_many_leaks_as_the_house_says(self, cast: Cast, manager: Actor) -> None:
        make.CareRulesFactory(barn=cast.barn, leaks_until_proofing=2)
        seen = []
        for _ in range(2):
            damage.report(cast.barn_blanket, part=DamagedPart.LEAK, usable=True, actor=manager)
            seen.append(condition(cast.barn_blanket).proofing_due)
        assert seen == [False, True]
