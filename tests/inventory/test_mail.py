"""Letters: to those concerned, each once however often and however many send, by each person's choice."""

import uuid
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from io import StringIO
from smtplib import SMTPServerDisconnected

import pytest
from django.core import mail as outbox
from django.core.mail import BadHeaderError, EmailMessage
from django.core.management import call_command
from django.test import Client

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person
from inventory.domain import care, damage, mail
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, DamagedPart, Letter
from inventory.models import CareJob, MailChoice, MailSent
from inventory.queries.mail import Desk
from tests.cast import NOW, Cast
from tests.inventory.care_walks import bring, take
from tests.inventory.sending import address, records, send

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]


@pytest.fixture(autouse=True)
def nothing_else_is_due(cast: Cast) -> None:
    CareJob.objects.all().delete()


@pytest.fixture
def staff(cast: Cast, act: Callable[..., Actor]) -> Actor:
    return act(cast.staff)


@pytest.fixture
def manager(cast: Cast, act: Callable[..., Actor]) -> Actor:
    return act(cast.manager)


def letters() -> list[tuple[str, str]]:
    return sorted((message.to[0].split("@")[0], message.subject) for message in outbox.outbox)


class TestWhoIsTold:
    def test_do_not_use_tells_the_owner_and_asks_in_the_same_letter(self, cast: Cast, staff: Actor) -> None:
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=staff)
        mail.send_due(NOW)
        assert letters() == [("owner", "[Home Barn] WRN22 is marked do not use")]
        body = outbox.outbox[0].body
        assert "Buckle, reported 14 Jan 2026, 21:00 by Staff" in body
        assert "It was worn by Bramble." in body
        assert "It waits for a decision" in body

    def test_of_the_barns_own_the_managers_are_told(self, cast: Cast, staff: Actor) -> None:
        damage.report(cast.barn_blanket, part=DamagedPart.BUCKLE, usable=False, actor=staff)
        mail.send_due(NOW)
        assert [to for to, _subject in letters()] == ["manager"]

    def test_a_usable_report_asks_who_pays_for_a_decision(self, cast: Cast, staff: Actor) -> None:
        damage.report(cast.worn, part=DamagedPart.STRAP, usable=True, actor=staff)
        damage.report(cast.barn_blanket, part=DamagedPart.STRAP, usable=True, actor=staff)
        mail.send_due(NOW)
        assert letters() == [
            ("manager", "[Home Barn] Your decision is needed: BRN88"),
            ("owner", "[Home Barn] Your decision is needed: WRN22"),
        ]

    def test_a_quote_above_the_limit_asks_with_its_sum(self, cast: Cast, manager: Actor) -> None:
        job = bring(care.ask(cast.owners_blanket, CareKind.WASH, actor=manager), CareStep.AWAY, manager)
        take(job, CareWord.QUOTE, manager, quote=Decimal("45.10"))
        mail.send_due(NOW)
        assert letters() == [("owner", "[Home Barn] Your decision is needed: WNR33")]
        assert "Mill Lane Laundry asks 45.10 USD for WNR33 (Wash)" in outbox.outbox[0].body

    @pytest.mark.parametrize("days", [13, 14])
    def test_overdue_tells_managers_and_the_owner_from_the_day_after(
        self, cast: Cast, manager: Actor, days: int
    ) -> None:
        """Due back on 29 January; NOW is 14 January in the barn."""
        bring(care.ask(cast.owners_blanket, CareKind.WASH, actor=manager), CareStep.AWAY, manager)
        mail.send_due(NOW + timedelta(days=days + 2))
        overdue = "[Home Barn] Overdue: Wash of WNR33"
        assert letters() == ([("manager", overdue), ("owner", overdue)] if days == 14 else [])

    def test_a_fix_that_ran_out_and_a_decision_that_waits_long(self, cast: Cast, staff: Actor) -> None:
        job = damage.report(cast.owners_blanket, part=DamagedPart.SHELL, usable=True, actor=staff)
        care.take(job, CareWord.FIX, actor=staff, details=Details(until=date(2026, 1, 16)))
        mail.send_due(NOW + timedelta(days=4))
        assert sorted(message.body.split(".")[0] for message in outbox.outbox if "Overdue" in message.subject) == [
            "The temporary fix on WNR33 was to be mended by 16 Jan 2026",
            "The temporary fix on WNR33 was to be mended by 16 Jan 2026",
            "WNR33 (Repair) has waited for a decision since 14 Jan 2026",
        ]

    def test_nobody_who_left_nor_without_an_address_nor_next_door(self, cast: Cast, staff: Actor) -> None:
        type(cast.owner.user).objects.filter(pk=cast.owner.user.pk).update(email="")
        Person.objects.filter(pk=cast.other_owner.pk).update(left_at=NOW)
        for blanket in (cast.worn, cast.other_blanket):
            damage.report(blanket, part=DamagedPart.SHELL, usable=False, actor=staff)
        mail.send_due(NOW)
        assert [to for to, subject in letters() if "do not use" in subject] == []

    def test_what_has_stood_for_long_is_not_written_about_any_more(self, cast: Cast, staff: Actor) -> None:
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=staff)
        mail.send_due(NOW + timedelta(days=31))
        assert [subject for _to, subject in letters() if "do not use" in subject] == []

    def test_each_reads_their_own_language_and_the_barns_time(self, cast: Cast, staff: Actor) -> None:
        type(cast.owner.user).objects.filter(pk=cast.owner.user.pk).update(language="es")
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=staff)
        [due] = Desk(cast.barn, NOW).due()
        assert "14 ene 2026, 21:00" in mail.message(due).body


class TestOnce:
    @pytest.fixture
    def due(self, cast: Cast, staff: Actor) -> CareJob:
        return damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=staff)

    def test_run_twice_it_goes_once(self, due: CareJob) -> None:
        assert [mail.send_due(NOW).sent for _ in range(3)] == [1, 0, 0]
        assert len(outbox.outbox) == 1

    def test_a_new_occasion_is_a_new_letter(self, cast: Cast, due: CareJob, manager: Actor) -> None:
        mail.send_due(NOW)
        take(due, CareWord.DECIDE, manager, decision=CareDecision.IGNORE, note="Fine.")
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=manager)
        assert mail.send_due(NOW).sent == 1

    def test_what_could_not_be_sent_is_tried_again(self, due: CareJob, monkeypatch: pytest.MonkeyPatch) -> None:
        def fail(message: EmailMessage) -> int:
            raise SMTPServerDisconnected("gone")

        with monkeypatch.context() as patch:
            patch.setattr(EmailMessage, "send", fail)
            posted = mail.send_due(NOW)
        assert ((posted.sent, posted.failed), MailSent.objects.count()) == ((0, 1), 0)
        assert mail.send_due(NOW).sent == 1

    def test_one_letter_that_cannot_be_written_holds_up_no_other(
        self, cast: Cast, due: CareJob, staff: Actor, monkeypatch: pytest.MonkeyPatch, caplog
    ) -> None:
        damage.report(cast.other_blanket, part=DamagedPart.BUCKLE, usable=False, actor=staff)
        whole = EmailMessage.send

        def fail(message: EmailMessage, *args: object) -> int:
            if message.to == [cast.owner.user.email]:
                raise BadHeaderError("no header")
            return whole(message)

        with monkeypatch.context() as patch:
            patch.setattr(EmailMessage, "send", fail)
            posted = mail.send_due(NOW)
        assert (posted.sent, posted.failed) == (1, 1)
        assert "no header" in caplog.text
        assert mail.send_due(NOW).sent == 1

    def test_a_barns_name_on_two_lines_stops_no_letter(self, cast: Cast, due: CareJob) -> None:
        type(cast.barn).objects.filter(pk=cast.barn.pk).update(name="Home\nBcc: all@example.org")
        assert mail.send_due(NOW).sent == 1
        assert outbox.outbox[0].subject == "[Home Bcc: all@example.org] WRN22 is marked do not use"

    def test_another_sender_at_work_is_waited_for_and_a_dead_one_replaced(self, cast: Cast, due: CareJob) -> None:
        MailSent.objects.create(
            barn=cast.barn, person=cast.owner, letter=Letter.DO_NOT_USE, about=f"job {due.pk}", claimed_at=NOW
        )
        assert mail.send_due(NOW + timedelta(minutes=59)).sent == 0
        assert mail.send_due(NOW + timedelta(minutes=61)).sent == 1
        assert mail.send_due(NOW + timedelta(minutes=62)).sent == 0

    def test_the_command_says_what_it_did(self, cast: Cast) -> None:
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=Actor(cast.staff))
        out = StringIO()
        call_command("send_mail_due", stdout=out)
        call_command("send_mail_due", stdout=out)
        assert out.getvalue().splitlines() == ["1 sent, 0 could not be sent", "0 sent, 0 could not be sent"]

    def test_the_command_fails_loudly_when_a_letter_did(self, cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=Actor(cast.staff))

        def fail(message: EmailMessage) -> int:
            raise ConnectionRefusedError

        monkeypatch.setattr(EmailMessage, "send", fail)
        with pytest.raises(SystemExit) as stopped:
            call_command("send_mail_due", stdout=StringIO())
        assert stopped.value.code == 1

    def test_the_queries_do_not_grow_with_the_letters(
        self, cast: Cast, staff: Actor, due, django_assert_num_queries
    ) -> None:
        with django_assert_num_queries(5):
            assert len(Desk(cast.barn, NOW).due()) == 1
        for blanket in (cast.owners_blanket, cast.other_blanket):
            damage.report(blanket, part=DamagedPart.SHELL, usable=False, actor=staff)
        with django_assert_num_queries(5):
            assert len(Desk(cast.barn, NOW).due()) == 3


class TestChoosing:
    def test_it_works_and_is_kept_to(self, cast: Cast, sign_in: SignIn, staff: Actor) -> None:
        client = sign_in(cast.owner)
        assert send(client, address("mail"), decision="on").status_code == 302
        assert dict(MailChoice.objects.filter(person=cast.owner).values_list("letter", "wanted")) == {
            "do_not_use": False,
            "decision": True,
            "overdue": False,
        }
        damage.report(cast.worn, part=DamagedPart.BUCKLE, usable=False, actor=staff)
        mail.send_due(NOW)
        assert letters() == [("owner", "[Home Barn] Your decision is needed: WRN22")]
        assert JournalEntry.objects.filter(action="mail_chosen").count() == 1

    def test_a_bad_form_changes_nothing(self, cast: Cast, sign_in: SignIn) -> None:
        before = records()
        assert sign_in(cast.owner).post(address("mail"), {"once": "no number"}).status_code == 200
        assert records() == before

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("stranger", 404), ("leaver", 404)])
    def test_nobody_from_elsewhere(self, cast: Cast, sign_in: SignIn, who: str | None, status: int) -> None:
        before = records()
        assert send(sign_in(getattr(cast, who) if who else None), address("mail")).status_code == status
        assert records() == before

    def test_another_owner_chooses_for_themselves_only(self, cast: Cast, sign_in: SignIn) -> None:
        send(sign_in(cast.other_owner), address("mail"))
        assert set(MailChoice.objects.values_list("person", flat=True)) == {cast.other_owner.pk}

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn) -> None:
        client, once = sign_in(cast.owner), uuid.uuid4()
        assert [send(client, address("mail"), once=once).status_code for _ in range(2)] == [302, 302]
        assert JournalEntry.objects.filter(action="mail_chosen").count() == 1
