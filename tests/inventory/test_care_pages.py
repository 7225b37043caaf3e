"""The care pages: the six tests of every write, money kept from staff, queues with one count of queries."""

import io
import re
import uuid
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client
from PIL import Image

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from inventory.domain import care, damage
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome, DamagedPart
from inventory.models import CareJob, CareRules, Paper
from tests import factories as make
from tests.cast import NOW, Cast
from tests.inventory.care_walks import bring, take
from tests.inventory.sending import address, records, send

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]


@pytest.fixture(autouse=True)
def pictures_in_a_folder_of_their_own(settings, tmp_path) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def manager(cast: Cast, act: Callable[..., Actor]) -> Actor:
    return act(cast.manager)


@pytest.fixture
def job(cast: Cast, act: Callable[..., Actor]) -> CareJob:
    return damage.report(cast.owners_blanket, part=DamagedPart.STRAP, usable=True, actor=act(cast.staff))


def picture(name: str = "tear.jpg") -> io.BytesIO:
    sent = io.BytesIO()
    Image.new("RGB", (640, 480), "brown").save(sent, "JPEG")
    sent.seek(0)
    sent.name = name
    return sent


class TestReportingDamage:
    GOOD = {"part": "shell", "use": "do_not_use"}

    def url(self, cast: Cast) -> str:
        return address("damage", cast.owners_blanket.pk)

    def test_it_works_and_shows_on_the_work_page(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.owner)
        answer = send(client, self.url(cast), **self.GOOD)
        job = CareJob.objects.get(blanket=cast.owners_blanket)
        assert answer["Location"] == address("care_job", job.pk)
        assert (job.part, job.do_not_use, job.reported_by) == ("shell", True, cast.owner)
        assert "do not use" in client.get(answer["Location"]).content.decode()

    def test_a_picture_may_come_along(self, cast: Cast, sign_in: SignIn) -> None:
        send(sign_in(cast.owner), self.url(cast), **self.GOOD, picture=picture())
        move = CareJob.objects.get(blanket=cast.owners_blanket).moves.get()
        assert move.picture.blanket == cast.owners_blanket

    @pytest.mark.parametrize(
        "bad",
        [
            {"part": "shell"},
            {"use": "usable"},
            {"part": "saddle", "use": "usable"},
            {"part": "shell", "use": "maybe"},
            {"part": "shell", "use": "usable", "note": "x" * 301},
        ],
    )
    def test_a_bad_form_changes_nothing_and_says_why(self, cast: Cast, sign_in: SignIn, bad: dict[str, object]) -> None:
        before = records()
        answer = send(sign_in(cast.owner), self.url(cast), **bad)
        assert (answer.status_code, records()) == (200, before)
        assert 'class="warn"' in answer.content.decode() or "alert" in answer.content.decode()

    @pytest.mark.parametrize(
        ("pictures", "sent", "why"),
        [(0, io.BytesIO(b"no picture"), "This file is no picture"), (24, None, "This blanket has 24 pictures.")],
    )
    def test_a_picture_that_cannot_be_kept_keeps_no_report_back(
        self, cast: Cast, sign_in: SignIn, pictures: int, sent: io.BytesIO | None, why: str
    ) -> None:
        make.PictureFactory.create_batch(pictures, blanket=cast.owners_blanket)
        client = sign_in(cast.owner)
        answer = send(client, self.url(cast), **self.GOOD, picture=sent or picture())
        job = CareJob.objects.get(blanket=cast.owners_blanket)
        assert (answer.status_code, job.do_not_use, job.moves.get().picture) == (302, True, None)
        assert f"Its picture could not be kept: {why}" in client.get(answer["Location"]).content.decode()

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("other_owner", 404), ("stranger", 404)])
    def test_nobody_else_reports_on_it(self, cast: Cast, sign_in: SignIn, who: str | None, status: int) -> None:
        before = records()
        answer = send(sign_in(getattr(cast, who) if who else None), self.url(cast), **self.GOOD)
        assert (answer.status_code, records()) == (status, before)

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn) -> None:
        client, once = sign_in(cast.owner), uuid.uuid4()
        answers = [send(client, self.url(cast), once=once, **self.GOOD) for _ in range(2)]
        assert [answer.status_code for answer in answers] == [302, 302]
        assert CareJob.objects.get(blanket=cast.owners_blanket).moves.count() == 1

    def test_from_the_horse_the_blanket_it_wears_is_chosen(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.staff)
        url = address("horse_damage", cast.owners_horse.pk)
        page = client.get(url)
        assert [choice.choice_label for choice in page.context["form"]["blanket"]] == ["WRN22"]
        assert page.context["form"]["blanket"].value() == cast.worn.pk
        send(client, url, blanket=cast.worn.pk, **self.GOOD)
        assert CareJob.objects.get(blanket=cast.worn).on_horse == cast.owners_horse

    def test_from_the_horse_no_blanket_of_another(self, cast: Cast, sign_in: SignIn) -> None:
        before = records()
        url = address("horse_damage", cast.owners_horse.pk)
        assert send(sign_in(cast.staff), url, blanket=cast.staff_owners_blanket.pk, **self.GOOD).status_code == 200
        assert records() == before

    def test_of_its_own_blanket_that_it_never_wore_it_is_not_said_to_have_worn_it(
        self, cast: Cast, sign_in: SignIn
    ) -> None:
        send(
            sign_in(cast.staff),
            address("horse_damage", cast.owners_horse.pk),
            blanket=cast.owners_blanket.pk,
            **self.GOOD,
        )
        job = CareJob.objects.get(blanket=cast.owners_blanket)
        assert (job.on_horse, job.company) == (None, [])


class TestOneStep:
    def url(self, job: CareJob, word: str = "decide") -> str:
        return address("care_step", job.pk, word)

    def good(self, job: CareJob) -> dict[str, object]:
        return {"turn": job.turn, "decision": "repair", "limit": "12,50"}

    def test_it_works(self, cast: Cast, sign_in: SignIn, job: CareJob) -> None:
        answer = send(sign_in(cast.owner), self.url(job), **self.good(job))
        job.refresh_from_db()
        assert answer["Location"] == address("care_job", job.pk)
        assert (job.step, job.decision, job.limit, job.payer) == ("decided", "repair", Decimal("12.50"), cast.owner)

    @pytest.mark.parametrize(
        "bad",
        [{}, {"decision": "burn"}, {"decision": "repair", "limit": "-1"}, {"decision": "repair", "limit": "1.234"}],
    )
    def test_a_bad_form_changes_nothing(self, cast: Cast, sign_in: SignIn, job: CareJob, bad: dict[str, str]) -> None:
        before = records()
        answer = send(sign_in(cast.manager), self.url(job), turn=job.turn, **bad)
        assert (answer.status_code, records()) == (200, before)

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("staff", 403), ("other_owner", 404), ("stranger", 404)])
    def test_nobody_else_decides(self, cast: Cast, sign_in: SignIn, job: CareJob, who: str | None, status: int) -> None:
        before = records()
        answer = send(sign_in(getattr(cast, who) if who else None), self.url(job), **self.good(job))
        assert (answer.status_code, records()) == (status, before)

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn, job: CareJob) -> None:
        client, once = sign_in(cast.owner), uuid.uuid4()
        answers = [send(client, self.url(job), once=once, **self.good(job)) for _ in range(2)]
        assert [answer.status_code for answer in answers] == [302, 302]
        assert job.moves.filter(word="decide").count() == 1

    def test_the_second_to_decide_is_told_who_was_first(self, cast: Cast, sign_in: SignIn, job: CareJob) -> None:
        send(sign_in(cast.owner), self.url(job), **self.good(job))
        answer = send(sign_in(cast.manager), self.url(job), turn=job.turn, decision="ignore")
        assert answer.status_code == 200
        assert "Owner was there first" in answer.content.decode()

    def test_who_pays_decides_and_the_blankets_owner_spends_nothing_of_theirs(
        self, cast: Cast, sign_in: SignIn, job, manager
    ) -> None:
        """The horse of another owner tore it, and that owner pays."""
        job = take(job, CareWord.DECIDE, manager, decision=CareDecision.HERE, names_payer=True, payer=cast.other_owner)
        payer, owner = sign_in(cast.other_owner), sign_in(cast.owner)
        for word, said in (("decide", {"decision": "here", "limit": "500"}), ("do_here", {"cost": "480"})):
            refused = send(owner, self.url(job, word), turn=job.turn, **said)
            assert "Other Owner pays for this and decides." in refused.content.decode()
        assert not job.moves.filter(by=cast.owner).exists()
        retired = send(payer, self.url(job, "decide"), turn=job.turn, decision="retire")
        assert list(retired.context["form"].errors) == ["decision"]
        assert send(payer, self.url(job, "decide"), turn=job.turn, decision="wash", limit="40").status_code == 302
        job.refresh_from_db()
        assert (job.decision, job.limit, job.moves.last().by) == ("wash", Decimal(40), cast.other_owner)

    def test_who_pays_answers_the_quote_and_does_nothing_else(self, cast: Cast, sign_in: SignIn, job, manager) -> None:
        """The horse of another owner tore it, and that owner pays."""
        said = {"decision": CareDecision.WASH, "names_payer": True, "payer": cast.other_owner}
        for word, details in (
            (CareWord.DECIDE, said),
            (CareWord.BAG, {}),
            (CareWord.HAND_OVER, {"sent_to": "Mill Lane Laundry"}),
            (CareWord.QUOTE, {"quote": Decimal(45)}),
        ):
            job = take(job, word, manager, **details)
        payer, owner = sign_in(cast.other_owner), sign_in(cast.owner)
        page = payer.get(address("care_job", job.pk))
        assert (page.context["usual"], page.context["words"], page.context["money"]) == ("approve", ["decline"], True)
        assert send(payer, self.url(job, "come_back"), turn=job.turn).status_code == 403
        refused = send(owner, self.url(job, "approve"), turn=job.turn)
        assert "Other Owner pays for this" in refused.content.decode()
        assert send(payer, self.url(job, "approve"), turn=job.turn).status_code == 302
        job.refresh_from_db()
        assert job.step == "approved"

    def test_who_pays_for_one_job_sees_neither_the_price_nor_the_other_care(
        self, cast: Cast, sign_in: SignIn, job, manager
    ) -> None:
        type(cast.owners_blanket).objects.filter(pk=cast.owners_blanket.pk).update(price=Decimal("876.00"))
        wash = care.ask(cast.owners_blanket, CareKind.WASH, actor=manager)
        take(wash, CareWord.DECIDE, manager, decision=CareDecision.HERE)
        take(wash, CareWord.DO_HERE, manager, cost=Decimal("54.32"))
        take(job, CareWord.DECIDE, manager, decision=CareDecision.HERE, names_payer=True, payer=cast.other_owner)
        for who, seen in (("other_owner", []), ("owner", ["54.32", "876.00", "6 %"])):
            client = sign_in(getattr(cast, who))
            page = client.get(address("care_job", job.pk)).content.decode()
            assert [word for word in ("54.32", "876.00", "6 %") if word in page] == seen
            assert "This work cost" in page
            queue = client.get(address("care") + "?queue=all")
            [line] = [one for one in queue.context["lines"] if one.job == job]
            assert (line.money, line.share) == ((True, 6) if seen else (False, None))
            assert ("Dearest first" in queue.content.decode()) == bool(seen)
            link = f'href="{address("blanket", cast.owners_blanket.pk)}"'
            assert (link in page, client.get(address("blanket", cast.owners_blanket.pk)).status_code) == (
                (True, 200) if seen else (False, 404)
            )

    @pytest.mark.parametrize(
        ("word", "silent"), [("hand_over", True), ("retire", True), ("bag", False), ("come_back", False)]
    )
    def test_what_the_journal_keeps_from_staff_the_page_does_too(
        self, cast: Cast, sign_in: SignIn, job: CareJob, manager: Actor, word: str, silent: bool
    ) -> None:
        take(job, CareWord.DECIDE, manager, decision=CareDecision.WATERPROOF)
        wash = care.ask(cast.barn_blanket, CareKind.WASH, actor=manager)
        take(wash, CareWord.DECIDE, manager, decision=CareDecision.WASH)
        steps = [CareWord.RETIRE] if word == "retire" else [CareWord.BAG, CareWord.HAND_OVER, CareWord.COME_BACK]
        for step in steps:
            said = {"sent_to": "Mill Lane Laundry"} if step == CareWord.HAND_OVER else {}
            take(wash, step, manager, note=f"Note of {step.value}", **said)
        for who, hidden in (("staff", silent), ("manager", False)):
            page = sign_in(getattr(cast, who)).get(address("care_job", wash.pk)).content.decode()
            assert (f"Note of {word}" not in page) == hidden

    def test_out_of_order_it_says_what_is_possible(self, cast: Cast, sign_in: SignIn, job: CareJob) -> None:
        answer = send(sign_in(cast.manager), self.url(job, "hand_over"), turn=job.turn, sent_to="Mill Lane Laundry")
        assert "Possible now: decide, temporary fix, lost, retire." in answer.content.decode()

    def test_staff_may_tape_it_but_not_lift_do_not_use(self, cast: Cast, sign_in: SignIn, manager: Actor) -> None:
        job = damage.report(cast.barn_blanket, part=DamagedPart.STRAP, usable=False, actor=manager)
        url = self.url(job, "fix")
        until = (date.today() + timedelta(days=7)).isoformat()  # noqa: DTZ011
        send(sign_in(cast.staff), url, turn=job.turn, until=until, usable="on")
        job.refresh_from_db()
        assert (job.temporary_fix_until.isoformat(), job.do_not_use) == (until, True)
        send(sign_in(cast.manager), url, turn=job.turn, until=until, usable="on")
        job.refresh_from_db()
        assert job.do_not_use is False

    def test_a_bill_is_shown_to_who_may_see_money_only(self, cast: Cast, sign_in: SignIn, job: CareJob) -> None:
        take(job, CareWord.DECIDE, Actor(cast.manager, now=NOW), decision=CareDecision.HERE)
        job.refresh_from_db()
        send(sign_in(cast.owner), self.url(job, "do_here"), turn=job.turn, cost="8", paper=picture("bill.jpg"))
        url = address("paper", Paper.objects.get().pk)
        statuses = {who: sign_in(getattr(cast, who)).get(url).status_code for who in cast.people}
        assert statuses == {
            "manager": 200,
            "owner": 200,
            "staff": 404,
            "staff_owner": 404,
            "other_owner": 404,
            "lessee": 404,
            "stranger": 404,
            "leaver": 404,
        }


class TestAskingForWork:
    def test_it_works_and_twice_is_refused_with_a_sentence(self, cast: Cast, sign_in: SignIn) -> None:
        client, url = sign_in(cast.owner), address("care_ask", cast.owners_blanket.pk)
        assert send(client, url, kind="wash").status_code == 302
        answer = send(client, url, kind="wash")
        assert "already open" in answer.content.decode()
        assert CareJob.objects.filter(blanket=cast.owners_blanket).count() == 1

    def test_a_bad_form_changes_nothing(self, cast: Cast, sign_in: SignIn) -> None:
        before = records()
        url = address("care_ask", cast.owners_blanket.pk)
        assert send(sign_in(cast.owner), url, kind="polish").status_code == 200
        assert records() == before

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("other_owner", 404), ("stranger", 404)])
    def test_nobody_else_asks(self, cast: Cast, sign_in: SignIn, who: str | None, status: int) -> None:
        before = records()
        url = address("care_ask", cast.owners_blanket.pk)
        answer = send(sign_in(getattr(cast, who) if who else None), url, kind="wash")
        assert (answer.status_code, records()) == (status, before)

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn) -> None:
        client, once = sign_in(cast.owner), uuid.uuid4()
        url = address("care_ask", cast.owners_blanket.pk)
        assert [send(client, url, once=once, kind="wash").status_code for _ in range(2)] == [302, 302]
        assert CareJob.objects.filter(blanket=cast.owners_blanket).count() == 1


class TestWashFirst:
    @pytest.fixture
    def tear(self, cast: Cast, manager: Actor) -> CareJob:
        tear = damage.report(cast.owners_blanket, part=DamagedPart.STRAP, usable=True, actor=manager)
        return take(tear, CareWord.DECIDE, manager, decision=CareDecision.REPAIR)

    def test_both_are_bagged_with_one_button(self, cast: Cast, sign_in: SignIn, tear: CareJob) -> None:
        client, wash = sign_in(cast.manager), CareJob.objects.get(kind="wash", blanket=cast.owners_blanket)
        page = send(client, address("care_step", tear.pk, "bag"), turn=tear.turn).text
        assert f'href="{address("care_job", wash.pk)}"' in page
        form = page[page.index('id="wash-first"') :]
        sent = re.findall(r'name="(act|jobs|once)" value="([^"]+)"', form)
        assert [pair for pair in sent if pair[0] != "once"] == [
            ("act", "bag"), ("jobs", str(wash.pk)), ("jobs", str(tear.pk)),
        ]  # fmt: skip
        send(client, address("care_many"), act="bag", jobs=[wash.pk, tear.pk])
        assert {job.step for job in CareJob.objects.filter(blanket=cast.owners_blanket)} == {"bagged"}

    def test_where_there_is_no_wash_one_can_be_asked_for(
        self, cast: Cast, sign_in: SignIn, manager: Actor, tear: CareJob
    ) -> None:
        take(
            CareJob.objects.get(kind="wash", blanket=cast.owners_blanket),
            CareWord.DECIDE,
            manager,
            decision=CareDecision.IGNORE,
            note="Clean.",
        )
        client = sign_in(cast.manager)
        page = send(client, address("care_step", tear.pk, "bag"), turn=tear.turn).text
        ask = address("care_ask", cast.owners_blanket.pk) + "?kind=wash"
        assert f'href="{ask}"' in page
        assert "Bag both" not in page
        assert client.get(ask).context["form"]["kind"].value() == "wash"

    def test_what_was_washed_is_asked_nothing(self, cast: Cast, sign_in: SignIn, manager: Actor, tear: CareJob) -> None:
        bring(CareJob.objects.get(kind="wash", blanket=cast.owners_blanket), CareStep.BAGGED, manager)
        assert "wash-first" not in sign_in(cast.manager).get(address("care_step", tear.pk, "bag")).text


def test_check_in_above_the_limit_asks_who_approved_it(cast: Cast, sign_in: SignIn, manager: Actor) -> None:
    job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.BACK, manager)
    CareJob.objects.filter(pk=job.pk).update(limit=Decimal(60))
    client, url = sign_in(cast.manager), address("care_step", job.pk, "check_in")
    said = {"turn": job.turn, "outcome": "done", "cost": "95", "note": "Two patches."}
    form = send(client, url, **said).context["form"]
    assert form.errors["approved_by"] == ["95.00 is 35.00 above what was allowed (60.00): say who approved it."]
    send(client, url, **said, approved_by="Manager")
    assert "35.00 above the limit: approved by Manager. Two patches." in client.get(address("care_job", job.pk)).text


class TestManyAtOnce:
    def jobs(self, cast: Cast, actor: Actor) -> list[CareJob]:
        return [
            care.ask(blanket, CareKind.WASH, actor=actor)
            for blanket in (cast.owners_blanket, cast.barn_blanket, cast.worn)
        ]

    def test_each_line_on_its_own_and_what_cannot_follow_says_why(
        self, cast: Cast, sign_in: SignIn, manager: Actor
    ) -> None:
        jobs = self.jobs(cast, manager)
        client = sign_in(cast.manager)
        send(client, address("care_many"), act="wash", limit="30", jobs=[job.pk for job in jobs])
        assert {job.step for job in CareJob.objects.filter(pk__in=[job.pk for job in jobs])} == {"decided"}
        answer = client.post(
            address("care_many"), {"once": uuid.uuid4(), "act": "bag", "jobs": [job.pk for job in jobs]}, follow=True
        )
        assert [job.step for job in CareJob.objects.filter(pk__in=[job.pk for job in jobs])] == [
            "bagged",
            "bagged",
            "decided",
        ]
        said = answer.content.decode()
        assert "2 lines done." in said
        assert "Wash of WRN22: WRN22 is on Bramble. Take it off first." in said

    @pytest.mark.parametrize("bad", [{"act": "bag"}, {"act": "burn", "jobs": "1"}, {"act": "bag", "jobs": "999999"}])
    def test_a_bad_form_changes_nothing(self, cast: Cast, sign_in: SignIn, bad: dict[str, str]) -> None:
        before = records()
        assert send(sign_in(cast.manager), address("care_many"), **bad).status_code == 400
        assert records() == before

    def test_a_bad_limit_is_said_at_its_field_and_the_ticks_stay(
        self, cast: Cast, sign_in: SignIn, manager: Actor
    ) -> None:
        jobs = self.jobs(cast, manager)
        url = address("care_many") + "?queue=decisions"
        answer = send(sign_in(cast.manager), url, act="wash", limit="abc", jobs=[jobs[0].pk, jobs[2].pk])
        page = answer.content.decode()
        assert answer.status_code == 400
        ticked = re.findall(r'name="jobs" value="([0-9]+)" checked', page)
        assert sorted(map(int, ticked)) == [jobs[0].pk, jobs[2].pk]
        (panel,) = re.findall(r'<details class="screen-only" open>.*?</details>', page, re.DOTALL)
        assert 'name="limit" value="abc"' in panel
        (sentence,) = answer.context["many"].errors["limit"]
        assert (panel.count(sentence), page.count(sentence)) == (1, 1)

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("other_owner", 400), ("stranger", 404)])
    def test_nobody_else(self, cast: Cast, sign_in: SignIn, manager: Actor, who: str | None, status: int) -> None:
        jobs = self.jobs(cast, manager)
        before = records()
        answer = send(sign_in(getattr(cast, who) if who else None), address("care_many"), act="wash", jobs=jobs[0].pk)
        assert (answer.status_code, records()) == (status, before)

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn, manager: Actor) -> None:
        jobs = self.jobs(cast, manager)
        client, once = sign_in(cast.manager), uuid.uuid4()
        for _ in range(2):
            send(client, address("care_many"), once=once, act="wash", jobs=[job.pk for job in jobs])
        assert jobs[0].moves.filter(word="decide").count() == 1

    def test_waterproofing_due_by_the_calendar_is_asked_for(self, cast: Cast, sign_in: SignIn) -> None:
        type(cast.worn).objects.filter(pk__in=[cast.worn.pk, cast.other.blanket.pk]).update(proofed_on=date(2020, 1, 1))
        client = sign_in(cast.manager)
        page = client.get(address("care") + "?queue=waterproofing")
        assert page.context["due"] == [cast.worn]
        send(client, address("care_many"), act="ask_proofing", blankets=cast.worn.pk)
        assert CareJob.objects.get(blanket=cast.worn).kind == "waterproofing"
        assert client.get(address("care") + "?queue=waterproofing").context["due"] == []


class TestQueues:
    def lines(self, client: Client, query: str = "?queue=all") -> list[str]:
        return [line.job.blanket.tag for line in client.get(address("care") + query).context["lines"]]

    @pytest.fixture
    def work(self, cast: Cast, manager: Actor) -> None:
        """Beside the cast's wash of THR55: a repair with a cost, a wash away and overdue, a decision waiting."""
        type(cast.worn).objects.filter(pk=cast.owners_blanket.pk).update(price=Decimal(100))
        mended = damage.report(cast.owners_blanket, part=DamagedPart.STRAP, usable=True, actor=manager)
        take(mended, CareWord.DECIDE, manager, decision=CareDecision.HERE)
        take(mended, CareWord.DO_HERE, manager, cost=Decimal("61.37"))
        damage.report(cast.owners_blanket, part=DamagedPart.SHELL, usable=False, actor=manager)
        bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.AWAY, manager)

    @pytest.mark.parametrize(
        ("who", "seen"),
        [
            ("manager", {"THR55", "WNR33", "BRN88"}),
            ("staff", {"THR55", "WNR33", "BRN88"}),
            ("owner", {"WNR33"}),
            ("staff_owner", {"THR55", "WNR33", "BRN88"}),
            ("other_owner", {"THR55"}),
            ("lessee", set()),
        ],
    )
    def test_who_sees_whose_work(self, cast: Cast, sign_in: SignIn, work: None, who: str, seen: set[str]) -> None:
        assert set(self.lines(sign_in(getattr(cast, who)))) == seen

    def test_each_queue_holds_its_work(self, cast: Cast, sign_in: SignIn, work: None) -> None:
        client = sign_in(cast.manager)
        assert {
            queue: set(self.lines(client, f"?queue={queue}")) for queue in ("wash", "repair", "overdue", "decisions")
        } == {
            "wash": {"THR55", "BRN88"},
            "repair": {"WNR33"},
            "overdue": {"BRN88", "WNR33", "THR55"},
            "decisions": {"WNR33", "THR55"},
        }

    def test_filters_and_sorting(self, cast: Cast, sign_in: SignIn, work: None) -> None:
        client = sign_in(cast.manager)
        assert self.lines(client, "?queue=all&owner=barn") == ["BRN88"]
        assert self.lines(client, f"?queue=all&owner={cast.owner.pk}") == ["WNR33"]
        assert self.lines(client, "?queue=all&step=away") == ["BRN88"]
        assert self.lines(client, "?queue=all&q=bramb") == ["WNR33"]
        assert self.lines(client, "?queue=all&sort=tag") == ["BRN88", "THR55", "WNR33"]
        assert self.lines(client, "?queue=all&sort=cost") == ["WNR33", "THR55", "BRN88"]
        assert self.lines(client, "?queue=nonsense&owner=%C2%B2&sort=DROP&page=x") == self.lines(
            client, "?queue=decisions"
        )

    def test_cost_so_far_against_price_asks_repair_or_replace(self, cast: Cast, sign_in: SignIn, work: None) -> None:
        page = sign_in(cast.manager).get(address("care") + "?queue=repair")
        line = page.context["lines"][0]
        assert (line.job.blanket_cost, line.share, line.replace) == (Decimal("61.37"), 61, True)
        assert "61 % of its price" in page.content.decode()

    @pytest.mark.parametrize("who", ["staff", "staff_owner"])
    def test_staff_see_no_money_anywhere(self, cast: Cast, sign_in: SignIn, work: None, who: str) -> None:
        client = sign_in(getattr(cast, who))
        job = CareJob.objects.get(blanket=cast.owners_blanket, part="shell")
        for url in (address("care") + "?queue=all", address("care_job", job.pk), address("care_step", job.pk, "fix")):
            page = client.get(url).content.decode()
            assert [word for word in ("61.37", "61 %", "USD", "100.00", "Ask above", "Who pays") if word in page] == []

    def test_the_queries_do_not_grow_with_the_list(
        self, cast: Cast, sign_in: SignIn, manager: Actor, django_assert_num_queries
    ) -> None:
        client = sign_in(cast.manager)
        url = address("care") + "?queue=all"
        client.get(url)
        with django_assert_num_queries(12):
            assert len(client.get(url).context["lines"]) == 1
        for blanket in (cast.owners_blanket, cast.barn_blanket):
            damage.report(blanket, part=DamagedPart.SHELL, usable=False, actor=manager)
        with django_assert_num_queries(12):
            assert len(client.get(url).context["lines"]) == 3


class TestOneWork:
    def test_a_manager_reads_the_company_by_name_an_owner_its_number(
        self, cast: Cast, sign_in: SignIn, manager: Actor
    ) -> None:
        """Who was out with it: the words of the brief, names for the manager alone."""
        job = damage.report(cast.worn, part=DamagedPart.SHELL, usable=True, actor=manager)
        pages = {
            who: sign_in(getattr(cast, who)).get(address("care_job", job.pk)).content.decode()
            for who in ("manager", "owner", "staff")
        }
        named = {
            who: {name for name in ("Cinder", "Dapple", "Ember", "Fern") if name in page} for who, page in pages.items()
        }
        assert named == {"manager": {"Cinder", "Dapple", "Ember", "Fern"}, "owner": set(), "staff": set()}
        assert "4 other horses" in pages["owner"]

    def test_who_reported_may_follow_it_without_money(self, cast: Cast, sign_in: SignIn, act) -> None:
        make.WearingFactory(blanket=cast.barn_blanket, horse=cast.other_horse)
        job = damage.report(cast.barn_blanket, part=DamagedPart.SHELL, usable=True, actor=act(cast.other_owner))
        page = sign_in(cast.other_owner).get(address("care_job", job.pk))
        assert (page.context["money"], page.context["usual"]) == (False, None)

    @pytest.mark.parametrize("step", CareStep)
    def test_the_page_of_every_step_opens(self, cast: Cast, sign_in: SignIn, manager: Actor, step: CareStep) -> None:
        job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), step, manager)
        client = sign_in(cast.manager)
        assert client.get(address("care_job", job.pk)).status_code == 200
        for word in set(CareWord) - {CareWord.REPORT}:
            assert client.get(address("care_step", job.pk, word)).status_code == 200

    def test_reported_work_waits_for_a_decision(self, cast: Cast, sign_in: SignIn, manager: Actor) -> None:
        job = care.ask(cast.barn_blanket, CareKind.WASH, actor=manager)
        page = sign_in(cast.manager).get(address("care_job", job.pk)).content.decode()
        assert "<dt>Stands at</dt><dd>Waits for a decision</dd>" in page
        assert page.count("<dt>Reported</dt>") == 1

    def test_what_is_back_is_not_due_back(self, cast: Cast, sign_in: SignIn, manager: Actor) -> None:
        job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.AWAY, manager)
        client, url = sign_in(cast.manager), address("care_job", job.pk)
        assert "<dt>With</dt><dd>Mill Lane Laundry, due back 29 Jan 2026</dd>" in client.get(url).content.decode()
        job = take(job, CareWord.COME_BACK, manager)
        take(job, CareWord.CHECK_IN, manager, outcome=CheckOutcome.NOT_DONE)
        page = client.get(url).content.decode()
        assert "<dt>Was with</dt><dd>Mill Lane Laundry</dd>" in page
        assert "due back" not in page
        assert "Mill Lane Laundry, 29 Jan" not in client.get(address("care")).content.decode()

    def test_the_queries_do_not_grow_with_the_steps(
        self, cast: Cast, sign_in: SignIn, manager: Actor, django_assert_num_queries
    ) -> None:
        job = care.ask(cast.barn_blanket, CareKind.WASH, actor=manager)
        client = sign_in(cast.staff)
        url = address("care_job", job.pk)
        client.get(url)
        with django_assert_num_queries(9):
            client.get(url)
        bring(job, CareStep.CHECKED, manager)
        with django_assert_num_queries(9):
            client.get(url)


class TestHouseRules:
    GOOD = {"leaks_until_proofing": 2, "days_to_decide": 5, "replace_share": 40, "season_month": 10}

    def seen(self, client: Client) -> str:
        return client.get(address("care_rules")).context["form"]["seen"].value()

    def test_it_works_from_the_defaults_on(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.manager)
        for _ in range(2):
            answer = send(client, address("care_rules"), seen=self.seen(client), **self.GOOD)
            assert answer.status_code == 302
        assert list(CareRules.objects.values_list("barn", *self.GOOD)) == [(cast.barn.pk, 2, 5, 40, 10)]

    @pytest.mark.parametrize("bad", [{"season_month": 13}, {"days_to_decide": 0}, {"replace_share": "much"}])
    def test_a_bad_form_changes_nothing(self, cast: Cast, sign_in: SignIn, bad: dict[str, object]) -> None:
        client = sign_in(cast.manager)
        assert send(client, address("care_rules"), seen=self.seen(client), **self.GOOD | bad).status_code == 200
        assert not CareRules.objects.exists()

    def test_two_managers_at_once_the_second_sees_what_changed(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.manager)
        seen = self.seen(client)
        send(client, address("care_rules"), seen=seen, **self.GOOD)
        answer = send(client, address("care_rules"), seen=seen, **self.GOOD | {"days_to_decide": 9})
        assert "changed this while you were writing" in answer.content.decode()
        assert CareRules.objects.get().days_to_decide == 5

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("staff", 403), ("owner", 403), ("stranger", 404)])
    def test_nobody_else(self, cast: Cast, sign_in: SignIn, who: str | None, status: int) -> None:
        seen = self.seen(sign_in(cast.manager))
        client = sign_in(getattr(cast, who) if who else None)
        assert send(client, address("care_rules"), seen=seen, **self.GOOD).status_code == status
        assert not CareRules.objects.exists()

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn) -> None:
        client, once = sign_in(cast.manager), uuid.uuid4()
        seen = self.seen(client)
        answers = [send(client, address("care_rules"), once=once, seen=seen, **self.GOOD) for _ in range(2)]
        assert [answer.status_code for answer in answers] == [302, 302]


def test_checking_in_names_the_outcome_in_words(cast: Cast, sign_in: SignIn, manager: Actor) -> None:
    job = bring(care.ask(cast.barn_blanket, CareKind.WASH, actor=manager), CareStep.BACK, manager)
    client = sign_in(cast.manager)
    send(
        client,
        address("care_step", job.pk, "check_in"),
        turn=job.turn,
        outcome=CheckOutcome.NOT_DONE,
        note="Still dirty.",
    )
    page = client.get(address("care_job", job.pk)).content.decode()
    assert "Check in: Not done" in page
    assert "Still dirty." in page
