"""The journal's pages: readable sentences, filters, files; no money for staff, no names of the company for owners."""

import csv
import io
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client

from barnrugs.barns import journal
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from inventory.domain import care, damage, wearing
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareWord, CheckOutcome, DamagedPart
from inventory.queries import journal_pages as queries
from tests import factories as make
from tests.cast import NOW, Cast
from tests.inventory.sending import address

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]
OURS = ("care_", "damage_", "batch_", "fee_", "mail_", "blanket_lost", "blanket_found", "blanket_retired")
SUMS = ("45.10", "40.00", "12.34", "over forty")


@pytest.fixture
def story(cast: Cast, act: Callable[..., Actor]) -> None:
    """A tear on the owner's blanket: reported, decided, quoted above the limit, approved, mended; then worn."""
    staff, manager, owner = act(cast.staff), act(cast.manager), act(cast.owner)
    blanket = cast.owners_blanket
    job = damage.report(blanket, part=DamagedPart.SHELL, usable=False, actor=staff, note="On the gate.")
    said = Details(decision=CareDecision.REPAIR, limit=Decimal("40.00"), note="Ask if over forty.")
    care.take(job, CareWord.DECIDE, actor=manager, details=said)
    wash = blanket.care_jobs.get(kind=CareKind.WASH)
    for each in (wash, job):
        care.take(each, CareWord.BAG, actor=manager)
        care.take(each, CareWord.HAND_OVER, actor=manager, details=Details(sent_to="Mill Lane Laundry"))
    care.take(job, CareWord.QUOTE, actor=manager, details=Details(quote=Decimal("45.10")))
    care.take(job, CareWord.APPROVE, actor=owner)
    for each in (wash, job):
        care.take(
            each, CareWord.CHECK_IN, actor=manager, details=Details(outcome=CheckOutcome.DONE, cost=Decimal("12.34"))
        )
    wearing.put_on(
        blanket, horse=cast.barn_horse, actor=act(cast.staff, there_at=NOW + timedelta(hours=1)), why="Cold."
    )


def texts(client: Client, *args: object, query: str = "") -> list[str]:
    return [sentence.text for sentence in client.get(address("journal_of", *args) + query).context["sentences"]]


def test_the_manager_reads_it_all_in_sentences(cast: Cast, sign_in: SignIn, story: None) -> None:
    assert texts(sign_in(cast.manager), "blanket", cast.owners_blanket.pk) == [
        "Staff put WNR33 on Fern.",
        "Manager checked WNR33 in (repair): done as asked (12.34).",
        "Manager checked WNR33 in (wash): done as asked (12.34).",
        "Manager noted that WNR33 is back, unchecked.",
        "Manager noted that WNR33 is back, unchecked.",
        "Owner approved the quote for WNR33 (repair) (45.10).",
        "Manager noted a quote for WNR33 (repair) (45.10).",
        "Manager handed WNR33 to Mill Lane Laundry: repair.",
        "Manager bagged WNR33: repair.",
        "Manager handed WNR33 to Mill Lane Laundry: wash.",
        "Manager bagged WNR33: wash.",
        "Manager decided about WNR33 (wash): send it to be washed. “Wash comes first.”",
        "Manager decided about WNR33 (repair): send it to be repaired. “Ask if over forty.”",
        "Staff reported WNR33: shell; do not use.",
    ]


@pytest.mark.parametrize("who", ["staff", "staff_owner"])
def test_staff_read_the_same_story_without_money(cast: Cast, sign_in: SignIn, story: None, who: str) -> None:
    client = sign_in(getattr(cast, who))
    pages = [
        client.get(address(name, "blanket", cast.owners_blanket.pk)).content.decode()
        for name in ("journal_of", "journal_of_file")
    ]
    assert [one for one in SUMS for page in pages if one in page] == []
    assert len(texts(client, "blanket", cast.owners_blanket.pk)) == 14
    assert "Owner approved the quote for WNR33 (repair)." in texts(client, "blanket", cast.owners_blanket.pk)


def test_the_owner_reads_what_their_own_cost(cast: Cast, sign_in: SignIn, story: None) -> None:
    page = sign_in(cast.owner).get(address("journal_of", "blanket", cast.owners_blanket.pk)).content.decode()
    assert [one for one in SUMS if one in page] == ["45.10", "12.34", "over forty"]


def test_the_company_is_in_nobodys_journal_by_name(cast: Cast, sign_in: SignIn, act) -> None:
    damage.report(cast.worn, part=DamagedPart.SHELL, usable=True, actor=act(cast.staff))
    for who in ("manager", "owner", "staff"):
        page = sign_in(getattr(cast, who)).get(address("journal_of", "horse", cast.owners_horse.pk)).content.decode()
        assert "Staff reported WRN22: shell; still usable." in page
        assert [name for name in ("Cinder", "Dapple", "Ember", "Fern") if name in page] == []


def test_a_horse_a_person_and_the_barn_have_theirs(cast: Cast, sign_in: SignIn, story: None) -> None:
    client = sign_in(cast.manager)
    assert texts(client, "horse", cast.barn_horse.pk) == ["Staff put WNR33 on Fern."]
    assert texts(client, "person", cast.owner.pk) == ["Owner approved the quote for WNR33 (repair) (45.10)."]
    assert texts(sign_in(cast.owner), "person", cast.owner.pk) == ["Owner approved the quote for WNR33 (repair)."]
    whole = client.get(address("journal")).context["page"].paginator.count
    assert whole == 15, "fourteen of the story, one of the cast; none of next door"


class TestFilters:
    def test_by_kind_day_and_person(self, cast: Cast, sign_in: SignIn, story: None) -> None:
        client, pk = sign_in(cast.manager), cast.owners_blanket.pk
        assert texts(client, "blanket", pk, query="?acts=changes") == ["Staff put WNR33 on Fern."]
        assert texts(client, "blanket", pk, query="?acts=damage") == ["Staff reported WNR33: shell; do not use."]
        assert len(texts(client, "blanket", pk, query="?acts=care")) == 12
        assert texts(client, "blanket", pk, query=f"?who={cast.owner.key}") == [
            "Owner approved the quote for WNR33 (repair) (45.10)."
        ]
        assert len(texts(client, "blanket", pk, query="?since=2026-01-14&until=2026-01-14")) == 14
        assert texts(client, "blanket", pk, query="?since=2026-01-15") == []
        assert texts(client, "blanket", pk, query="?until=2026-01-13") == []

    def test_odd_filters_are_left_out(self, cast: Cast, sign_in: SignIn, story: None) -> None:
        query = "?acts=drop&since=soon&until=2026-02-30&who=nobody&page=-1"
        assert len(texts(sign_in(cast.manager), "blanket", cast.owners_blanket.pk, query=query)) == 14

    def test_nobody_but_a_manager_filters_by_person(self, cast: Cast, sign_in: SignIn, story: None) -> None:
        query = f"?who={cast.owner.key}"
        assert len(texts(sign_in(cast.staff), "blanket", cast.owners_blanket.pk, query=query)) == 14

    def test_every_sort_of_acts_names_actions_that_exist(self) -> None:
        assert {acts for acts in queries.SORTS_OF_ACTS if not queries.actions_of(acts)} == set()


def test_the_file_holds_the_same_sentences(cast: Cast, sign_in: SignIn, story: None) -> None:
    answer = sign_in(cast.manager).get(address("journal_of_file", "blanket", cast.owners_blanket.pk) + "?acts=changes")
    assert list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))[0:1] == [
        ["When", "Written down", "Who", "What", "Why", "Device"]
    ]
    [row] = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))[1:]
    assert [row[0], *row[2:]] == ["2026-01-14 22:00", "Staff", "Staff put WNR33 on Fern.", "Cold.", ""]


def test_the_queries_do_not_grow_with_the_journal(cast: Cast, sign_in: SignIn, act, django_assert_num_queries) -> None:
    client = sign_in(cast.manager)
    url = address("journal_of", "blanket", cast.barn_blanket.pk)
    care.ask(cast.barn_blanket, CareKind.WASH, actor=act(cast.staff))
    with django_assert_num_queries(10):
        assert len(client.get(url).context["sentences"]) == 1
    damage.report(cast.barn_blanket, part=DamagedPart.STRAP, usable=True, actor=act(cast.manager))
    damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=act(cast.owner))
    with django_assert_num_queries(10):
        assert len(client.get(url).context["sentences"]) == 3


def test_every_action_of_care_has_a_sentence_that_names_who() -> None:
    sentences = {name: action.sentence for name, action in journal.actions().items() if name.startswith(OURS)}
    assert len(sentences) >= 20
    assert [name for name, sentence in sentences.items() if not sentence.startswith("{who} ")] == []


def test_another_barn_never_shows(cast: Cast, sign_in: SignIn) -> None:
    make.JournalEntryFactory(barn=cast.other.barn, action="barn_made", there_at=NOW)
    page = sign_in(cast.manager).get(address("journal"), {"since": date(2026, 1, 14).isoformat()})
    assert page.context["sentences"] == []
