"""The storm: twenty phones, each event sent one to five times, phones interleaved at random, eight calls at a time.

What nobody contests must end as after one orderly run; what several contest must keep every promise; nothing happens
twice and nothing ends in a fault of the house. Size by the harness setting, whole: 10,000 events.
"""

import random
import sys
import threading
import time
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import timedelta

import pytest
from django.db import connection
from django.db.models import Count, Q
from django.test import Client
from django.utils import timezone

from barnrugs.barns.models import JournalEntry, SentWrite
from inventory.models import ListLine, Question, Wearing
from tests import factories as make
from tests.harness import size
from tests.phones import Phone, as_device, known

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]
PHONES, AT_A_TIME, EVENTS, SEED = 20, 8, 10_000, 20261125
LISTS = 10


@dataclass
class Hand:
    """One phone with the horses, blankets and lines that only it touches, and its parcels in their order."""

    phone: Phone
    horses: list = field(default_factory=list)
    blankets: list = field(default_factory=list)
    lines: list = field(default_factory=list)
    parcels: list = field(default_factory=list)


@dataclass
class Stable:
    barn: object
    hands: list[Hand]
    shared_horses: list
    shared_blankets: list
    listed: list
    shared_lines: list


def stable(slug: str) -> Stable:
    barn = make.BarnFactory(slug=slug, name=slug)
    lately = timezone.now()
    made = make.ChangeListFactory(barn=barn, day=lately.date(), due_at=lately, made_at=lately)
    hands = []
    for number in range(PHONES):
        person = make.PersonFactory(barn=barn, name=f"Groom {number}", is_staff=True)
        device = known(make.DeviceFactory(barn=barn, name=f"Phone {number}"))
        hand = Hand(Phone(person, Client(), device))
        hand.horses = [make.HorseFactory(barn=barn, name=f"Horse {number}.{one}") for one in range(3)]
        hand.blankets = [make.BlanketFactory(barn=barn, tag=f"A{number:02}B{one}") for one in range(6)]
        hand.lines = [make.ListLineFactory(change_list=made, horse=horse) for horse in hand.horses]
        hands.append(hand)
    blankets = [make.BlanketFactory(barn=barn, tag=f"SHR{one:02}") for one in range(8)]
    listed = [make.HorseFactory(barn=barn, name=f"Listed {one}") for one in range(4)]
    return Stable(
        barn,
        hands,
        [make.HorseFactory(barn=barn, name=f"Shared {one}") for one in range(5)],
        blankets,
        listed,
        list(contested_lines(barn, listed, blankets, lately)),
    )


def contested_lines(barn, horses, blankets, lately):
    """Of horses that only lists dress, on lists that every phone holds: half say nothing on, half a shared blanket."""
    for number in range(LISTS):
        day = lately.date() - timedelta(days=number + 1)
        made = make.ChangeListFactory(barn=barn, day=day, due_at=lately, made_at=lately)
        for place, horse in enumerate(horses):
            to = [blankets[(number + place) % len(blankets)].tag] if (number + place) % 2 else []
            yield make.ListLineFactory(change_list=made, horse=horse, tags_to=to)


def tell(barn: Stable, events: int, *, contested: bool) -> None:
    """The same seed tells the same story in each barn; the contested part is left out of the orderly one."""
    begun = timedelta(days=1).total_seconds()
    for number, hand in enumerate(barn.hands):
        dice = random.Random(SEED + number)
        told = []
        for turn in range(events // PHONES):
            ago = begun - turn * 2
            kind = dice.random()
            place, picks = dice.randrange(3), dice.sample(range(2), dice.randrange(3))
            shared = dice.randrange(5), dice.sample(range(8), dice.randrange(1, 3))
            line = dice.choice(barn.shared_lines)
            if kind < 0.75:
                tags = [hand.blankets[2 * place + pick].tag for pick in picks]
                told.append(hand.phone.event("wear", horse=hand.horses[place], tags=tags, ago=ago))
            elif kind < 0.85:
                line = hand.lines[place]
                told.append(hand.phone.event("not_done", line=line, ago=ago, why="No time"))
                told.append(hand.phone.event("take_back", line=line, ago=ago - 1))
            elif contested:
                tags = [barn.shared_blankets[pick].tag for pick in shared[1]]
                told.append(contest(hand.phone, kind, barn.shared_horses[shared[0]], line, tags, ago))
        cut = random.Random(SEED * 2 + number)
        while told:
            count = cut.randrange(1, 11)
            hand.parcels.append(told[:count])
            told = told[count:]


def contest(phone: Phone, kind: float, horse, line: ListLine, tags: list[str], ago: float) -> dict[str, str]:
    if kind < 0.89:
        return phone.event("done", line=line, tags=line.tags_to, ago=ago)
    if kind < 0.93:
        return phone.event("other", line=line, tags=tags[:1], ago=ago, why="It was nearer")
    return phone.event("wear", horse=horse, tags=tags, ago=ago)


class Post:
    """Delivers: of each phone the first deliveries in order, one at a time; repeats at any time after their first."""

    def __init__(self, barn: Stable) -> None:
        self.barn, self.dice, self.lock = barn, random.Random(SEED), threading.Lock()
        self.next = dict.fromkeys(range(PHONES), 0)
        self.busy: set[int] = set()
        self.repeats: list[tuple[int, int]] = []
        self.said: Counter[str] = Counter()
        self.faults: list[object] = []
        self.final: dict[str, set[str]] = defaultdict(set)
        self.calls = 0

    def pick(self) -> tuple[int, int, bool] | None:
        with self.lock:
            ready = [n for n in self.next if n not in self.busy and self.next[n] < len(self.barn.hands[n].parcels)]
            if self.repeats and (not ready or self.dice.random() < 0.6):
                number, parcel = self.repeats.pop(self.dice.randrange(len(self.repeats)))
                return number, parcel, False
            if not ready:
                return None
            number = self.dice.choice(ready)
            self.busy.add(number)
            parcel = self.next[number]
            self.repeats += [(number, parcel)] * self.dice.randrange(5)
            return number, parcel, True

    def done(self) -> bool:
        with self.lock:
            left = any(self.next[n] < len(self.barn.hands[n].parcels) for n in self.next)
            return not left and not self.repeats and not self.busy

    def work(self) -> None:
        try:
            while not self.done():
                picked = self.pick()
                if picked:
                    self.deliver(*picked)
                else:
                    time.sleep(0.005)
        except Exception as fault:  # noqa: BLE001  whatever it is, the test shows it
            self.faults.append(repr(fault))
        finally:
            connection.close()

    def deliver(self, number: int, parcel: int, first: bool) -> None:
        hand = self.barn.hands[number]
        phone = Phone(hand.phone.person, as_device(Client(raise_request_exception=False), hand.phone.device))
        again = True
        while again:
            answer = phone.post(*hand.parcels[parcel], slug=self.barn.barn.slug)
            again = False
            with self.lock:
                self.calls += 1
                if answer.status_code != 200:
                    self.faults.append((answer.status_code, answer.content[:200]))
                    break
                for told in answer.json()["answers"]:
                    self.said[told["status"] + (" again" if told.get("again") else "")] += 1
                    if told["status"] in {"done", "question"}:
                        self.final[told["once"]].add(told["status"])
                    again = again or (first and told["status"] in {"later", "held"})
        if first:
            with self.lock:
                self.next[number] += 1
                self.busy.discard(number)


def story(barn: Stable, *, shared: bool = False) -> dict[str, list[tuple[str, int, bool]]]:
    """For each blanket that only one phone touches: on which horses, in what layer, one after the other."""
    found = defaultdict(list)
    wearings = Wearing.objects.filter(barn=barn.barn).exclude(blanket__tag__startswith="SHR").order_by("on_at", "pk")
    for worn in wearings.select_related("horse", "blanket"):
        found[worn.blanket.tag].append((worn.horse.name, worn.layer, worn.off_at is None))
    return found


def outcomes(barn: Stable) -> dict[str, str]:
    own = ListLine.objects.filter(barn=barn.barn, horse__name__startswith="Horse")
    return dict(own.values_list("horse__name", "outcome"))


def test_the_storm(transactional_db, record_property):
    events = size(EVENTS)
    orderly, stormy = stable("orderly"), stable("stormy")
    tell(orderly, events, contested=False)
    tell(stormy, events, contested=True)
    for hand in orderly.hands:
        as_device(hand.phone.client, hand.phone.device)
        for parcel in hand.parcels:
            assert set(hand.phone.statuses(*parcel, slug="orderly")) == {"done"}

    post = Post(stormy)
    begun = time.perf_counter()
    workers = [threading.Thread(target=post.work) for _number in range(AT_A_TIME)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    took = time.perf_counter() - begun

    sent = {told["body"].split('"once": "')[1][:36] for hand in stormy.hands for one in hand.parcels for told in one}
    assert post.faults == []
    assert len(sent) == sum(len(one) for hand in stormy.hands for one in hand.parcels)
    assert set(post.final) == sent, "an event without an end"
    assert {len(ends) for ends in post.final.values()} == {1}, "a repeat was answered otherwise"
    assert SentWrite.objects.filter(barn=stormy.barn).count() == len(sent)
    assert story(stormy) == story(orderly)
    assert outcomes(stormy) == outcomes(orderly)
    promises(stormy, post)
    told = f"{len(sent)} events, {sum(post.said.values())} sendings in {post.calls} calls, {took:.0f} s"
    record_property("storm", f"{connection.vendor}: {told}, {dict(post.said)}")
    sys.stderr.write(f"\n{connection.vendor}: {told}, {dict(post.said)}\n")


def nothing_later_is_undone(stormy: Stable) -> None:
    """What only lists dress wears what its last noted line says, however late an older note came in."""
    worn = defaultdict(set)
    for one in Wearing.objects.filter(barn=stormy.barn, off_at=None).select_related("blanket"):
        worn[one.horse_id].add(one.blanket.tag)
    noted = ListLine.objects.filter(horse__in=stormy.listed).exclude(outcome="").order_by("done_at", "pk")
    last = {line.horse_id: line for line in noted}
    assert set(last) == {horse.pk for horse in stormy.listed}
    assert {pk: worn[pk] for pk in last} == {pk: set(line.tags_done) for pk, line in last.items()}
    later = Question.objects.filter(horse__in=stormy.listed, sentence__contains="noted later")
    assert later.exists(), "no older note came in after a later one, so that this showed nothing"


def promises(stormy: Stable, post: Post) -> None:
    """Of what several contest: at most one open wearing a blanket and a layer; as many entries as things done."""
    mine = Wearing.objects.filter(barn=stormy.barn)
    still = mine.filter(off_at=None)
    assert not still.values("blanket").annotate(n=Count("pk")).filter(n__gt=1).exists()
    assert not still.values("horse", "layer").annotate(n=Count("pk")).filter(n__gt=1).exists()
    assert not mine.filter(Q(off_at__lt=timezone.now()) & Q(off_by=None)).exists()
    entries = JournalEntry.objects.filter(barn=stormy.barn)
    assert entries.filter(action="blanket_put_on").count() == mine.count()
    assert entries.filter(action="blanket_taken_off").count() == mine.exclude(off_at=None).count()
    asked = sum(ends == {"question"} for ends in post.final.values())
    assert Question.objects.filter(barn=stormy.barn).count() == asked
    told = entries.filter(action__in=["change_contradicted", "late_change_overlaps"]).count()
    assert told == asked
    nothing_later_is_undone(stormy)
    assert not Question.objects.exclude(barn=stormy.barn).exists()
