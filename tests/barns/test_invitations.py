"""Invitations: by slip or letter, once, within 72 hours, and nothing but a digest is kept."""

import math
import uuid
from datetime import timedelta

import pytest
from django.core import mail
from django.core.cache import cache
from django.core.mail.backends.locmem import EmailBackend
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns import rate
from barnrugs.barns.domain import invitations as domain
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Invitation, JournalEntry, Person, SentWrite, User
from tests import factories as make
from tests.writes import Write, six_tests, typed

PASSWORD = "a wet coat dries slowly"


def newcomer(cast):
    return Person.objects.get_or_create(barn=cast.barn, name="Newcomer", is_staff=True)[0]


def newcomers_pk(cast):
    return newcomer(cast).pk


SLIP = Write(
    "invite", "person_invited", parts={"pk": newcomers_pk}, bad={"email": "no address"}, at="email", others=404
)
TestSlip = six_tests([Write(**{**vars(SLIP), "answer": 200})])
TestLetter = six_tests([Write(**{**vars(SLIP), "data": {"email": "new@example.org"}})])


@pytest.fixture(autouse=True)
def _no_tries_yet(db):
    cache.clear()


@pytest.fixture
def code(cast):
    made = domain.code_for(newcomer(cast), uuid.uuid4())
    domain.invite(newcomer(cast), code=made, actor=Actor(person=cast.manager))
    return made


def door(code):
    return reverse("come_in_by", args=[code])


def filled(**fields):
    return {
        "username": "newcomer",
        "email": "",
        "language": "en",
        "password": PASSWORD,
        "again": PASSWORD,
        **fields,
    }


def invite_url(cast):
    return reverse("invite", args=[cast.barn.slug, newcomers_pk(cast)])


class TestTheCode:
    def test_it_carries_at_least_eighty_bits(self):
        assert domain.GROUPS * domain.GROUP * math.log2(len(domain.LETTERS)) > 80
        assert not set(domain.LETTERS) & set("0O1IL")

    def test_two_forms_make_two_codes_and_one_form_one(self, cast):
        once = uuid.uuid4()
        assert domain.code_for(cast.owner, once) == domain.code_for(cast.owner, once)
        codes = {domain.code_for(person, uuid.uuid4()) for person in (cast.owner, cast.staff) for _try in range(50)}
        assert len(codes) == 100

    def test_dashes_spaces_and_small_letters_make_no_difference(self):
        assert domain.digest_of(" abcd-efgh ") == domain.digest_of("ABCDEFGH")

    def test_nothing_in_the_database_holds_it(self, cast, sign_in):
        client = sign_in(cast.manager)
        answer = client.post(invite_url(cast), typed(client, invite_url(cast)))
        made = answer.context["code"]
        kept = [
            str(vars(row)) for model in (Invitation, SentWrite, JournalEntry, Person) for row in model.objects.all()
        ]
        assert kept
        assert not [row for row in kept if made in row or made.replace("-", "") in row]


class TestTheSlip:
    def test_it_names_whom_it_is_for_the_code_and_until_when(self, cast, sign_in):
        client = sign_in(cast.manager)
        page = client.post(invite_url(cast), typed(client, invite_url(cast))).content.decode()
        made = Invitation.objects.get(person=newcomer(cast))
        assert "Newcomer" in page
        assert "<svg" in page
        assert made.expires_at - made.made_at == timedelta(hours=72)

    def test_sent_again_it_shows_the_same_code(self, cast, sign_in):
        client = sign_in(cast.manager)
        data = typed(client, invite_url(cast))
        first, second = (client.post(invite_url(cast), data).context["code"] for _time in range(2))
        assert first == second
        assert Invitation.objects.filter(person=newcomer(cast)).count() == 1

    def test_a_new_one_ends_the_old_one(self, cast, code):
        domain.invite(newcomer(cast), code="ABCD", actor=Actor(person=cast.manager))
        with pytest.raises(Refused, match="opens nothing"):
            domain.find(code, timezone.now())

    def test_somebody_who_can_sign_in_needs_none(self, cast):
        with pytest.raises(Refused, match="can already sign in"):
            domain.invite(cast.staff, code="ABCD", actor=Actor(person=cast.manager))

    def test_withdrawn_between_the_look_and_the_lock_it_opens_nothing(self, cast, code, monkeypatch):
        found = domain.find

        def find(typed, now):
            invitation = found(typed, now)
            Invitation.objects.filter(pk=invitation.pk).delete()
            return invitation

        monkeypatch.setattr(domain, "find", find)
        with pytest.raises(Refused, match="opens nothing"):
            domain.accept(code, user=make.UserFactory(), now=timezone.now())


class TestTheLetter:
    def test_it_goes_to_the_address_once_and_the_code_in_it_opens(self, cast, sign_in):
        client = sign_in(cast.manager)
        data = typed(client, invite_url(cast), email="new@example.org")
        for _time in range(2):
            assert client.post(invite_url(cast), data).status_code == 302
        assert [letter.to for letter in mail.outbox] == [["new@example.org"]]
        made = next(word for word in mail.outbox[0].body.split() if word.count("-") == 4 and "/" not in word)
        assert domain.find(made, timezone.now()).person == newcomer(cast)

    def test_a_letter_that_cannot_be_sent_becomes_a_slip(self, cast, sign_in, monkeypatch):
        def broken(self, letters):
            raise ConnectionRefusedError

        monkeypatch.setattr(EmailBackend, "send_messages", broken)
        client = sign_in(cast.manager)
        answer = client.post(invite_url(cast), typed(client, invite_url(cast), email="new@example.org"))
        assert "could not be sent" in answer.content.decode()
        assert domain.find(answer.context["code"], timezone.now())

    def test_a_name_with_a_line_break_cannot_add_headers(self, cast, sign_in):
        cast.barn.name = "Home\nBcc: all@example.org"
        cast.barn.save(update_fields=["name"])
        client = sign_in(cast.manager)
        client.post(invite_url(cast), typed(client, invite_url(cast), email="new@example.org"))
        assert mail.outbox[0].recipients() == ["new@example.org"]
        assert "\n" not in mail.outbox[0].subject


class TestComingIn:
    def test_somebody_new_gets_a_sign_in_and_the_barn(self, cast, code, client):
        answer = client.post(door(code), filled(email="n@example.org", language="es"), follow=True)
        person = newcomer(cast)
        assert (person.user.username, person.user.email, person.user.language) == ("newcomer", "n@example.org", "es")
        assert person.user.check_password(PASSWORD)
        assert answer.wsgi_request.user == person.user
        assert JournalEntry.objects.latest("pk").action == "invitation_accepted"

    def test_the_code_is_typed_on_a_page_of_its_own(self, code, client):
        answer = client.post(reverse("come_in"), {"code": code.lower().replace("-", " ")})
        assert client.get(answer.url).status_code == 200

    def test_it_opens_once(self, cast, code, client):
        client.post(door(code), filled())
        client.logout()
        answer = client.post(door(code), filled(username="second"))
        assert answer.status_code == 404
        assert not User.objects.filter(username="second").exists()

    def test_the_form_sent_twice_leads_on(self, code, client):
        client.post(door(code), filled())
        assert client.post(door(code), filled()).url == reverse("landing")

    def test_after_72_hours_it_opens_nothing(self, cast, code):
        assert domain.find(code, timezone.now() + timedelta(hours=71, minutes=59))
        with pytest.raises(Refused, match="opens nothing"):
            domain.find(code, timezone.now() + timedelta(hours=72))

    def test_somebody_signed_in_comes_in_as_they_are(self, cast, code, sign_in):
        client = sign_in(cast.stranger)
        client.post(door(code), {"once": str(uuid.uuid4())})
        assert newcomer(cast).user == cast.stranger.user

    def test_nobody_is_twice_in_a_barn(self, cast, code, sign_in):
        answer = sign_in(cast.owner).post(door(code), {"once": str(uuid.uuid4())})
        assert answer.context["form"].non_field_errors() == ["You belong to this barn already."]
        assert domain.find(code, timezone.now())

    @pytest.mark.parametrize(
        ("fields", "at"),
        [
            ({"again": "something else"}, "again"),
            ({"password": "short", "again": "short"}, "password"),
            ({"password": "newcomer12", "again": "newcomer12", "username": "newcomer12"}, "password"),
            ({"username": "Owner"}, "username"),
            ({"email": "OWNER@example.org"}, "email"),
            ({"username": "with space"}, "username"),
        ],
    )
    def test_a_bad_form_says_where_and_uses_nothing_up(self, code, client, fields, at):
        answer = client.post(door(code), filled(**fields))
        assert list(answer.context["form"].errors) == [at]
        assert domain.find(code, timezone.now())

    def test_a_left_person_does_not_come_in_by_an_old_code(self, cast, code):
        Person.objects.filter(name="Newcomer").update(left_at=timezone.now())
        with pytest.raises(Refused, match="opens nothing"):
            domain.find(code, timezone.now())


class TestGuessing:
    def test_after_ten_wrong_codes_even_the_right_one_must_wait(self, code, client):
        for guess in range(rate.TRIES):
            assert client.get(door(f"GUESS{guess}")).status_code == 404
        assert client.get(door(code)).status_code == 429
        assert client.post(reverse("come_in"), {"code": code}).status_code == 429

    def test_another_address_is_not_held_up(self, code, client):
        for guess in range(rate.TRIES):
            client.post(reverse("come_in"), {"code": f"GUESS{guess}"})
        assert client.get(door(code), REMOTE_ADDR="192.0.2.7").status_code == 200

    def test_right_codes_do_not_count(self, code, client):
        for _time in range(rate.TRIES + 1):
            assert client.get(door(code)).status_code == 200


class TestThePublicPagesDoNotTell:
    def test_a_wrong_code_and_a_used_one_read_the_same(self, cast, code, client):
        client.post(door(code), filled())
        client.logout()
        used = client.get(door(code)).context["form"].errors["code"]
        assert client.get(door("WRONG")).context["form"].errors["code"] == used

    def test_an_empty_code_is_asked_for(self, client):
        assert client.post(reverse("come_in"), {}).context["form"].errors["code"] == ["Fill this in."]


def test_only_the_invited_persons_barn_is_written(cast, code, client):
    make.PersonFactory(barn=cast.other.barn)
    before = Person.objects.filter(barn=cast.other.barn).count()
    client.post(door(code), filled())
    assert Person.objects.filter(barn=cast.other.barn).count() == before
