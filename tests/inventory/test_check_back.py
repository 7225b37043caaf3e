"""A batch's line checked in by mistake is taken back: all is as before, while nothing followed from it."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person
from inventory.domain import batches, care, check_back, damage, drying, wearing
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome, DamagedPart, Keeping
from inventory.models import BatchLine, Blanket, CareJob, CareMove, Paper, Placing
from inventory.queries import blankets
from inventory.queries import care as care_queries
from inventory.queries.batches import lines
from tests.cast import NOW, Cast
from tests.inventory.care_walks import take
from tests.inventory.sending import address, send
from tests.writes import Write, six_tests

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]
At = Callable[[int], Actor]
OLD = date(2024, 9, 1)


@pytest.fixture
def at(cast: Cast) -> At:
    """The manager, so many minutes after it was handed over."""
    return lambda minutes: Actor(cast.manager, now=NOW + timedelta(minutes=minutes))


def out(cast: Cast, *kinds: CareKind, blanket: Blanket | None = None) -> list[BatchLine]:
    """A barn's blanket that hung to dry went out with this work: the lines of its batch."""
    manager = Actor(cast.manager, now=NOW)
    blanket = blanket or cast.barn_blanket
    Blanket.objects.filter(pk=blanket.pk).update(proofed_on=OLD)
    drying.mark_wet(blanket, place="Boiler room", actor=Actor(cast.manager, now=NOW - timedelta(days=2)))
    jobs = [care.ask(blanket, kind, actor=manager) for kind in kinds]
    decided = {CareKind.WASH: "wash", CareKind.REPAIR: "repair", CareKind.WATERPROOFING: "waterproof"}
    for job in jobs:
        take(job, CareWord.DECIDE, manager, decision=decided[CareKind(job.kind)])
    batch = batches.hand_over(batches.make(jobs, to_whom="Mill Lane Laundry", actor=manager), actor=manager)
    return [batch.lines.get(job=job) for job in jobs]


def check(line: BatchLine, outcome: CheckOutcome, actor: Actor, **said: object) -> BatchLine:
    return batches.check_line(line, outcome=outcome, actor=actor, details=Details(**{"part": "shell"} | said))


def back(line: BatchLine, actor: Actor) -> BatchLine:
    return check_back.take_back(line, turn=CareJob.objects.get(pk=line.job_id).turn, actor=actor)


def the_job(cast: Cast, kind: CareKind = CareKind.WASH) -> CareJob:
    return CareJob.objects.get(blanket=cast.barn_blanket, kind=kind)


def stand(blanket: Blanket) -> dict[str, object]:
    """All that a check-in changes: the work, its steps, the list, the places, the proofing day, what answers derive."""
    found = blankets.of(blanket.barn).with_condition(blanket.barn, NOW + timedelta(hours=2)).get(pk=blanket.pk)
    jobs = CareJob.objects.filter(blanket=blanket).order_by("pk")
    return {
        "jobs": list(jobs.values("pk", "kind", "step", "decision", "outcome", "do_not_use", "closed_at")),
        "moves": list(CareMove.objects.filter(job__in=jobs).order_by("pk").values_list("pk", flat=True)),
        "lines": list(BatchLine.objects.filter(job__in=jobs).order_by("pk").values()),
        "places": list(Placing.objects.filter(blanket=blanket).order_by("pk").values()),
        "proofed": found.proofed_on,
        "answers": (found.where, found.wet, found.clean, found.sound),
    }


def checked(cast: Cast) -> BatchLine:
    known = BatchLine.objects.filter(barn=cast.barn).first()
    return known or check(out(cast, CareKind.WASH)[0], CheckOutcome.DONE, Actor(cast.manager, now=NOW))


TestWrites = six_tests(
    [
        Write(
            "batch_check_back",
            "care_check_taken_back",
            parts={"pk": lambda cast: checked(cast).pk},
            data={"turn": lambda cast: the_job(cast).turn},
            bad={"turn": None},
            at="turn",
            others=404,
            set_up=checked,
        )
    ]
)


@pytest.mark.parametrize("turn", ["", "soon", "-1", "0"])
def test_a_bad_form_changes_nothing_and_says_so_at_its_line(cast: Cast, sign_in: SignIn, turn: str) -> None:
    line, before = checked(cast), JournalEntry.objects.count()
    page = send(sign_in(cast.manager), address("batch_check_back", line.pk), turn=turn)
    assert (page.status_code, JournalEntry.objects.count()) == (200, before)
    row = page.text.split(f'id="line_{line.pk}"')[1].split("</li>")[0]
    assert 'role="alert"' in row


@pytest.mark.parametrize("outcome", CheckOutcome)
@pytest.mark.parametrize("kind", CareKind)
def test_all_is_as_before_the_tap(cast: Cast, at: At, kind: CareKind, outcome: CheckOutcome) -> None:
    kinds = [CareKind.WASH] if kind == CareKind.WASH else [CareKind.WASH, kind]
    line = out(cast, *kinds)[-1]
    before = stand(cast.barn_blanket)
    assert before["answers"][0] == "away"
    turn = line.job.turn
    check(line, outcome, at(5), cost=Decimal("12.00"), note="Ask them.")
    after = stand(cast.barn_blanket)
    assert after != before
    entries = JournalEntry.objects.count()
    back(line, at(9))
    left = stand(cast.barn_blanket)
    withdrawn = [job for job in left["jobs"] if job["pk"] not in {one["pk"] for one in before["jobs"]}]
    assert [(job["kind"], job["step"]) for job in withdrawn] == (
        [("repair", "closed")] if outcome == CheckOutcome.DAMAGED and kind != CareKind.REPAIR else []
    )
    left["jobs"] = [job for job in left["jobs"] if job not in withdrawn]
    known = set(CareMove.objects.filter(job__in=[job["pk"] for job in withdrawn]).values_list("pk", flat=True))
    left["moves"] = [pk for pk in left["moves"] if pk not in known]
    assert left == before
    line.job.refresh_from_db()
    assert line.job.turn > turn + 1, "what was shown before the mistake is no longer taken for what stands"
    assert JournalEntry.objects.count() == entries + 1 + len(withdrawn)
    entry = JournalEntry.objects.latest("pk")
    assert (entry.action, entry.after["outcome"], entry.after["cost"]) == ("care_check_taken_back", outcome, "12.00")


def test_what_it_waited_on_can_be_said_again(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    for minutes, outcome in enumerate((CheckOutcome.DONE, CheckOutcome.DAMAGED, CheckOutcome.NOT_DONE), start=1):
        check(line, outcome, at(minutes * 10))
        back(line, at(minutes * 10 + 5))
    assert check(line, CheckOutcome.DONE, at(60)).job.step == CareStep.CHECKED
    assert care_queries.last_wash(cast.barn_blanket) == at(60).at


def test_a_line_that_was_missing_is_missing_again(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, CheckOutcome.MISSING, at(1), note="Not in the bag.")
    before = stand(cast.barn_blanket)
    check(line, CheckOutcome.DONE, at(2))
    back(line, at(3))
    assert stand(cast.barn_blanket) == before
    back(line, at(4))
    line.refresh_from_db()
    assert (line.outcome, line.note, line.checked_at, line.checked_by) == ("", "", None, None)


def test_what_came_back_before_the_tap_is_back_still(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    take(line.job, CareWord.COME_BACK, at(1))
    check(line, CheckOutcome.DONE, at(2))
    back(line, at(3))
    line.job.refresh_from_db()
    assert (line.job.step, line.job.closed_at) == (CareStep.BACK, None)


def test_two_lines_of_one_blanket_go_back_latest_first(cast: Cast, at: At) -> None:
    wash, repair = out(cast, CareKind.WASH, CareKind.REPAIR)
    before = stand(cast.barn_blanket)
    check(wash, CheckOutcome.DONE, at(1))
    between = stand(cast.barn_blanket)
    check(repair, CheckOutcome.DONE, at(2))
    with pytest.raises(Refused, match=r"Repair BRN88 was checked in after this, at .*\. Take that back first\."):
        back(wash, at(3))
    back(repair, at(4))
    assert stand(cast.barn_blanket) == between
    back(wash, at(5))
    assert stand(cast.barn_blanket) == before


def test_an_older_repair_stands_as_before_the_damage_was_added_to_it(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=at(0))
    before = stand(cast.barn_blanket)
    check(line, CheckOutcome.DAMAGED, at(1))
    assert the_job(cast, CareKind.REPAIR).do_not_use
    back(line, at(2))
    assert stand(cast.barn_blanket) == before


def test_the_bill_that_was_kept_with_it_stays_with_the_work(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, CheckOutcome.DONE, at(1))
    paper = Paper.objects.create(barn=cast.barn, move=line.job.moves.latest("pk"), sha="0", at=NOW, by=cast.manager)
    back(line, at(2))
    paper.refresh_from_db()
    assert paper.move == line.job.moves.get(word=CareWord.HAND_OVER)


def test_a_proofing_day_that_somebody_put_down_since_stays(cast: Cast, at: At) -> None:
    line = out(cast, CareKind.WASH, CareKind.WATERPROOFING)[1]
    check(line, CheckOutcome.DONE, at(1))
    Blanket.objects.filter(pk=cast.barn_blanket.pk).update(proofed_on=date(2026, 1, 2))
    back(line, at(2))
    assert Blanket.objects.get(pk=cast.barn_blanket.pk).proofed_on == date(2026, 1, 2)


def put_on(cast: Cast, actor: Actor) -> None:
    wearing.put_on(cast.barn_blanket, horse=cast.barn_horse, actor=actor)


def worn_a_while(cast: Cast, actor: Actor) -> None:
    worn = wearing.put_on(cast.barn_blanket, horse=cast.barn_horse, actor=actor)
    wearing.take_off(worn, actor=actor)


def decide_the_repair(cast: Cast, actor: Actor) -> None:
    take(the_job(cast, CareKind.REPAIR), CareWord.DECIDE, actor, decision=CareDecision.HERE)


def bag_a_repair(cast: Cast, actor: Actor) -> None:
    tear = care.ask(cast.barn_blanket, CareKind.REPAIR, actor=actor)
    take(tear, CareWord.DECIDE, actor, decision=CareDecision.REPAIR)
    take(tear, CareWord.BAG, actor)


SINCE = [
    (CheckOutcome.DONE, put_on, "BRN88 was put on Fern at"),
    (CheckOutcome.DONE, worn_a_while, "BRN88 was put on Fern at"),
    (CheckOutcome.DONE, lambda cast, actor: care.lose(cast.barn_blanket, actor=actor), "BRN88 was put elsewhere"),
    (
        CheckOutcome.DONE,
        lambda cast, actor: drying.mark_wet(cast.barn_blanket, place="Loft", actor=actor),
        "BRN88 was put elsewhere at",
    ),
    (
        CheckOutcome.DONE,
        lambda cast, actor: care.ask(cast.barn_blanket, CareKind.WASH, actor=actor),
        "The same work is already open",
    ),
    (
        CheckOutcome.DONE,
        bag_a_repair,
        r"Manager noted “Bag” \(Repair BRN88\) at",
    ),
    (
        CheckOutcome.NOT_DONE,
        lambda cast, actor: take(the_job(cast), CareWord.BAG, actor),
        r"Manager noted “Bag” \(Wash BRN88\) at",
    ),
    (CheckOutcome.DAMAGED, decide_the_repair, r"“Do it here in the barn” \(Repair BRN88\) at"),
    (
        CheckOutcome.MISSING,
        lambda cast, actor: take(the_job(cast), CareWord.COME_BACK, actor),
        "Manager noted “It is back”",
    ),
]


@pytest.mark.parametrize(("outcome", "happens", "sentence"), SINCE)
def test_not_once_something_followed_from_it(cast: Cast, at: At, outcome, happens, sentence: str) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, outcome, at(1))
    happens(cast, at(2))
    before, entries = stand(cast.barn_blanket), JournalEntry.objects.count()
    with pytest.raises(Refused, match=sentence):
        back(line, at(3))
    assert (stand(cast.barn_blanket), JournalEntry.objects.count()) == (before, entries)


def test_a_line_that_is_open_has_nothing_to_take_back(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    with pytest.raises(Refused, match="nothing to take back"):
        back(line, at(1))


def test_what_went_with_another_batch_since_is_taken_back_there(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, CheckOutcome.NOT_DONE, at(1))
    again = batches.hand_over(batches.make([line.job], to_whom="Elsewhere", actor=at(2)), actor=at(2))
    check(again.lines.get(), CheckOutcome.DONE, at(3))
    with pytest.raises(Refused, match="Manager noted “Check in”"):
        back(line, at(4))
    assert back(again.lines.get(), at(5)).outcome == ""


def test_another_check_in_than_the_one_shown_is_not_taken_back(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, CheckOutcome.DONE, at(1))
    shown = the_job(cast).turn
    back(line, at(2))
    check(line, CheckOutcome.NOT_DONE, at(3))
    with pytest.raises(Refused, match="Manager was there first"):
        check_back.take_back(line, turn=shown, actor=at(4))
    line.refresh_from_db()
    assert line.outcome == CheckOutcome.NOT_DONE


def test_a_step_of_which_the_journal_kept_nothing_stays(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, CheckOutcome.DONE, at(1))
    moved = line.job.moves.latest("pk")
    CareMove.objects.create(
        barn=cast.barn, job=line.job, word=moved.word, went_to=moved.went_to, at=moved.at, by=moved.by
    )
    moved.delete()
    with pytest.raises(Refused, match="was not kept at that time"):
        back(line, at(2))


def test_its_cost_is_no_cost_any_more(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, CheckOutcome.DONE, at(1), cost=Decimal("31.50"))
    back(line, at(2))
    assert care_queries.on(cast.barn_blanket).with_costs().get().blanket_cost == 0


def test_the_page_offers_it_while_it_may_be(cast: Cast, sign_in: SignIn, at: At) -> None:
    done, missing = out(cast, CareKind.WASH)[0], out(cast, CareKind.WASH, blanket=cast.owners_blanket)[0]
    client = sign_in(cast.manager)

    def offered(line: BatchLine) -> bool:
        return address("batch_check_back", line.pk) in client.get(address("batch", line.batch.pk)).text

    assert not offered(done)
    check(done, CheckOutcome.DONE, at(1))
    check(missing, CheckOutcome.MISSING, at(1))
    assert (offered(done), offered(missing)) == (True, True)
    answer = send(client, address("batch_check_back", done.pk), turn=CareJob.objects.get(pk=done.job_id).turn)
    assert answer.url == f"{address('batch', done.batch.pk)}#line_{done.pk}"
    assert "Taken back. Both stand in the log." in client.get(answer.url).text
    assert not offered(done)
    check(done, CheckOutcome.DONE, at(2))
    put_on(cast, at(3))
    assert not offered(done)
    assert [one.may_go_back for one in lines(done.batch)] == [False]


def test_what_stands_in_its_way_is_said_at_its_line(cast: Cast, sign_in: SignIn, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, CheckOutcome.DONE, at(1))
    put_on(cast, at(2))
    client, turn = sign_in(cast.manager), the_job(cast).turn
    page = send(client, address("batch_check_back", line.pk), turn=turn)
    row = page.text.split(f'id="line_{line.pk}"')[1].split("</li>")[0]
    assert "BRN88 was put on Fern at" in row


def test_the_journal_tells_it_without_the_sum_to_those_who_see_no_money(cast: Cast, sign_in: SignIn, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, CheckOutcome.DONE, at(1), cost=Decimal("31.50"))
    back(line, at(2))
    url = address("journal_of", "blanket", cast.barn_blanket.pk)
    shown = {who: sign_in(getattr(cast, who)).get(url).text for who in ("manager", "staff")}
    assert "Manager took back the check-in of BRN88 (wash): done as asked (31.50)." in shown["manager"]
    assert "Manager took back the check-in of BRN88 (wash): done as asked." in shown["staff"]


def test_where_it_hung_it_hangs_again_and_no_earlier_place_is_lost(cast: Cast, at: At) -> None:
    (line,) = out(cast, CareKind.WASH)
    check(line, CheckOutcome.DONE, at(1))
    assert Placing.objects.get(blanket=cast.barn_blanket, until=None).kind == Keeping.RACK
    back(line, at(2))
    now = Placing.objects.get(blanket=cast.barn_blanket, until=None)
    assert (now.kind, now.place, now.since) == (Keeping.DRYING, "Boiler room", NOW - timedelta(days=2))
