"""Shared phones: enrolled by a code used once, revoked; names and PINs; what a PIN opens and what it does not."""

import time
import uuid
from datetime import timedelta
from hashlib import sha256

import pytest
from django.core.cache import cache
from django.core.cache.backends import db as cache_in_the_database
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.domain import devices as domain
from barnrugs.barns.domain import people
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Device, JournalEntry, Person, SentWrite
from barnrugs.barns.queries.journal import sentences
from barnrugs.barns.this_device import COOKIE
from tests import factories as make
from tests.phones import as_device, known, own_phone, shared_phone
from tests.writes import Write, six_tests, typed

PIN = "2580"
WRITES = [
    Write("device_change", "device_renamed", parts={"pk": "phone"}, data={"name": "Tack room phone"}, others=404,
          bad={"name": ""}, at="name"),
    Write("device_revoke", "device_revoked", parts={"pk": "phone"}, data={"why": "lost"}, others=404),
    Write("device_add", "device_enrolled", data={"name": "Feed room phone"}, bad={"name": ""}, at="name", answer=200),
    Write("my_pin", "pin_set", by="staff", data={"pin": PIN, "again": PIN}),
]  # fmt: skip
TestWrites = six_tests(WRITES)


@pytest.fixture
def groom(cast):
    """A member of staff with a PIN."""
    return domain.set_pin(cast.staff, pin=PIN, actor=Actor(cast.staff))


@pytest.fixture
def phone(cast, sign_in):
    return as_device(sign_in(None), known(cast.phone))


@pytest.fixture
def later(monkeypatch):
    """Lets time pass for the cache, counted from the call of the test. Nothing was tried before."""
    cache.clear()
    start = timezone.now()

    def pass_by(**how):
        then = start + timedelta(**how)
        monkeypatch.setattr(cache_in_the_database, "tz_now", lambda: then)
        monkeypatch.setattr(time, "time", then.timestamp)

    return pass_by


def come_in(client, person, pin=PIN, **how):
    return client.post("/this-phone/", {"who": str(person.key), "pin": pin}, **how)


@pytest.mark.django_db
class TestEnrolling:
    def add(self, client, once):
        return client.post(reverse("device_add", args=["home"]), {"name": "Feed room phone", "once": once})

    def test_the_code_lets_one_phone_in_once(self, cast, sign_in):
        once = uuid.uuid4()
        slip = self.add(sign_in(cast.manager), once)
        code = domain.code_for(once)
        assert code in slip.content.decode()
        device = Device.objects.get(name="Feed room phone")
        assert code not in str(vars(device))
        first, second = sign_in(None), sign_in(None)
        answer = first.post("/this-phone/enrol/", {"code": code.lower().replace("-", " ")})
        assert answer.url == "/this-phone/"
        assert first.cookies[COOKIE]["httponly"] is True
        assert "Feed room phone" in first.get("/this-phone/").content.decode()
        answer = second.post("/this-phone/enrol/", {"code": code})
        assert list(answer.context["form"].errors) == ["code"]
        assert COOKIE not in second.cookies

    def test_that_it_came_in_stands_in_the_journal(self, cast, sign_in):
        once = uuid.uuid4()
        self.add(sign_in(cast.manager), once)
        answers = [sign_in(None).post("/this-phone/enrol/", {"code": domain.code_for(once)}) for _time in range(2)]
        assert [answer.status_code for answer in answers] == [302, 200]
        device, entry = Device.objects.get(name="Feed room phone"), JournalEntry.objects.get(action="device_came_in")
        assert (entry.barn, entry.person_key, entry.device_key) == (cast.barn, cast.manager.key, device.key)
        (said,) = sentences([entry], cast.manager)
        assert said.text == "The phone Feed room phone, enrolled by Manager, took up its code."

    def test_the_same_form_shows_the_same_code(self, cast, sign_in):
        client, once = sign_in(cast.manager), uuid.uuid4()
        assert self.add(client, once).context["code"] == self.add(client, once).context["code"]
        assert Device.objects.filter(name="Feed room phone").count() == 1

    def test_a_code_is_good_for_a_day(self, cast):
        code = domain.code_for(uuid.uuid4())
        made = timezone.now() - timedelta(hours=25)
        domain.enrol("Old", code=code, actor=Actor(cast.manager, now=made))
        with pytest.raises(Refused):
            domain.come_in(code, now=timezone.now())

    def test_tries_are_counted(self, cast, sign_in):
        cache.clear()
        client = sign_in(None)
        answers = [client.post("/this-phone/enrol/", {"code": "nothing"}).status_code for _ in range(11)]
        assert answers == [200] * 10 + [429]

    def test_ten_tries_close_it_for_a_quarter_of_an_hour(self, sign_in, later):
        client = sign_in(None)
        for _try in range(10):
            client.post("/this-phone/enrol/", {"code": "nothing"})
        later(minutes=14)
        assert client.post("/this-phone/enrol/", {"code": "nothing"}).status_code == 429
        later(minutes=16)
        assert client.post("/this-phone/enrol/", {"code": "nothing"}).status_code == 200

    def test_a_cookie_that_we_did_not_sign_is_nobodys(self, cast, sign_in):
        known(cast.phone)
        client = sign_in(None)
        client.cookies[COOKIE] = f"{cast.phone.key}:made-up"
        assert client.get("/this-phone/").status_code == 404


@pytest.mark.django_db
class TestComingIn:
    def test_a_name_and_a_pin_open_the_barn(self, groom, phone):
        answer = come_in(phone, groom)
        assert answer.status_code == 302
        assert phone.get(reverse("horses", args=["home"])).status_code == 200

    def test_only_staff_here_with_a_pin_are_offered(self, cast, groom, phone):
        domain.set_pin(cast.staff_owner, pin=PIN, actor=Actor(cast.staff_owner))
        make.PersonFactory(barn=cast.barn, name="Gone", pin="x", left_at=timezone.now())
        make.PersonFactory(barn=cast.barn, name="Only owns", pin="x", is_owner=True)
        offered = {name for _key, name in phone.get("/this-phone/").context["form"].fields["who"].choices}
        assert offered == {"Staff", "Staff Owner"}

    def test_wrong_pins_are_slowed(self, groom, phone):
        cache.clear()
        for _try in range(5):
            assert come_in(phone, groom, "9999").status_code == 422
        answer = come_in(phone, groom)
        assert "quarter of an hour" in answer.content.decode()
        assert "_auth_user_id" not in phone.session

    def test_five_wrong_ones_close_it_for_a_quarter_of_an_hour(self, groom, phone, later):
        for _try in range(5):
            come_in(phone, groom, "9999")
        later(minutes=14)
        assert come_in(phone, groom).status_code == 422
        later(minutes=16)
        assert come_in(phone, groom).status_code == 302

    def test_by_script_the_answer_is_the_seal_of_this_person_on_this_phone(self, cast, groom, phone):
        told = come_in(phone, groom, headers={"Accept": "application/json"}).json()
        assert told["person"] == str(groom.key)
        assert told["seal"] == domain.seal_key(cast.phone, groom)
        refused = come_in(phone, groom, "0000", headers={"Accept": "application/json"})
        assert (refused.status_code, set(refused.json())) == (422, {"said"})

    def test_what_is_done_there_says_who_and_on_which_phone(self, cast, groom, phone):
        come_in(phone, groom)
        page = reverse("horse_handling", args=["home", cast.barn_horse.pk])
        phone.post(page, typed(phone, page, handling_note="Mind the left side."))
        entry = JournalEntry.objects.latest("pk")
        assert (entry.person_key, entry.device_key) == (groom.key, cast.phone.key)

    def test_a_pin_opens_no_more_than_staff_may(self, cast, phone):
        boss = domain.set_pin(cast.manager, pin=PIN, actor=Actor(cast.manager))
        come_in(phone, boss)
        assert phone.get(reverse("horses", args=["home"])).status_code == 200
        for name in ("people", "house_change", "devices", "questions", "my_pin"):
            assert phone.get(reverse(name, args=["home"])).status_code == 403, name
        for address in ("/account/", "/account/password/change/", "/account/email/", "/account/second-step/", "/"):
            answer = phone.get(address)
            assert (answer.status_code, answer.url) == (302, "/this-phone/"), address

    def test_the_page_without_signal_opens_in_the_session_of_a_pin(self, groom, phone):
        come_in(phone, groom)
        assert phone.get("/no-signal/").status_code == 200

    def test_who_is_no_longer_staff_is_out_at_their_next_request(self, groom, phone):
        come_in(phone, groom)
        Person.objects.filter(pk=groom.pk).update(is_staff=False, is_owner=True)
        answer = phone.get(reverse("horses", args=["home"]))
        assert (answer.status_code, answer.url) == (302, "/this-phone/")
        assert "_auth_user_id" not in phone.session
        assert not phone.get("/this-phone/").context["users"]

    def test_a_manager_who_is_no_staff_still_works_as_staff(self, groom, phone):
        come_in(phone, groom)
        Person.objects.filter(pk=groom.pk).update(is_staff=False, is_manager=True)
        assert phone.get(reverse("horses", args=["home"])).status_code == 200
        assert phone.get(reverse("people", args=["home"])).status_code == 403

    def test_the_sign_in_page_leads_back_to_names_and_pins_on_a_shared_phone_only(self, phone, sign_in):
        assert 'href="/this-phone/"' in phone.get("/account/login/").content.decode()
        assert 'href="/this-phone/"' not in sign_in(None).get("/account/login/").content.decode()

    def test_a_pin_opens_no_other_barn(self, cast, groom, phone):
        make.PersonFactory(barn=cast.other.barn, user=groom.user, name="Staff there too")
        come_in(phone, groom)
        assert phone.get(reverse("horses", args=["next-door"])).status_code == 404

    def test_a_revoked_phone_opens_nothing_at_once(self, cast, groom, phone):
        come_in(phone, groom)
        domain.revoke(cast.phone, actor=Actor(cast.manager))
        answer = phone.get(reverse("horses", args=["home"]))
        assert (answer.status_code, answer.url) == (302, "/this-phone/")
        assert phone.get("/this-phone/").status_code == 404
        assert come_in(phone, groom).status_code == 404

    def test_the_session_of_a_pin_does_not_outlive_the_cookie_of_its_phone(self, cast, groom, phone, sign_in):
        come_in(phone, groom)
        elsewhere = sign_in(None)
        elsewhere.cookies["sessionid"] = phone.cookies["sessionid"].value
        assert elsewhere.get(reverse("horses", args=["home"])).status_code == 302


@pytest.mark.django_db
class TestPins:
    @pytest.mark.parametrize("easy", ["0000", "1234", "4321", "12", "123456789", "12a4", ""])
    def test_what_anybody_would_try_first_is_refused(self, cast, easy):
        with pytest.raises(Refused):
            domain.set_pin(cast.staff, pin=easy, actor=Actor(cast.staff))

    def test_neither_the_pin_nor_a_plain_digest_of_it_is_kept(self, cast, sign_in):
        client, page = sign_in(cast.staff), reverse("my_pin", args=["home"])
        client.post(page, typed(client, page, pin=PIN, again=PIN))
        cast.staff.refresh_from_db()
        assert domain.is_pin_of(cast.staff, PIN)
        assert PIN not in cast.staff.pin
        sent = SentWrite.objects.latest("pk")
        assert sent.digest != sha256(PIN.encode()).hexdigest()
        entry = JournalEntry.objects.latest("pk")
        assert (entry.before, entry.after) == ({}, {})

    def test_two_that_differ(self, cast, sign_in):
        client, page = sign_in(cast.staff), reverse("my_pin", args=["home"])
        answer = client.post(page, typed(client, page, pin=PIN, again="2581"))
        assert list(answer.context["form"].errors) == ["again"]

    def test_who_leaves_has_no_pin_any_more(self, cast, groom):
        people.leaves(groom, actor=Actor(cast.manager))
        groom.refresh_from_db()
        assert groom.pin == ""


@pytest.mark.django_db
class TestTheList:
    def test_three_more_phones_cost_no_more_queries(self, cast, sign_in, django_assert_num_queries):
        client, page = sign_in(cast.manager), reverse("devices", args=["home"])
        client.get(page)
        for _run in range(2):
            with django_assert_num_queries(5):
                answer = client.get(page)
            assert "Their Phone" not in answer.content.decode()
            make.DeviceFactory.create_batch(3, barn=cast.barn)

    def test_a_clock_that_is_off_is_said(self, cast, sign_in):
        domain.note_contact(cast.phone, now=timezone.now(), clock_off_s=26 * 3600)
        page = sign_in(cast.manager).get(reverse("devices", args=["home"])).content.decode()
        assert "off by 1560 minutes" in page


@pytest.mark.django_db
def test_the_token_is_of_now_and_kept_by_no_cache(client):
    answer = client.get("/token/")
    assert "no-store" in answer.headers["Cache-Control"]
    assert set(answer.json()) == {"token", "now", "people", "clear", "users"}
    assert (answer.json()["people"], answer.json()["clear"], answer.json()["users"]) == ({}, [], {})


@pytest.mark.django_db
class TestWhetherAPhoneStillBelongs:
    """Said wherever it asks for a token: with nothing to send it would never hear of it."""

    def told(self, client):
        answer = client.get("/token/").json()
        return answer["clear"], answer["users"]

    def test_a_shared_phone_hears_who_may_use_it(self, cast):
        domain.set_pin(cast.staff, pin="2580", actor=Actor(cast.staff))
        client = shared_phone(cast.phone, cast.staff).client
        assert self.told(client) == ([], {"home": [str(cast.staff.key)]})
        client.force_login(cast.staff.user)
        people.leaves(cast.staff, actor=Actor(cast.manager))
        assert self.told(client) == ([], {"home": []})

    def test_a_revoked_one(self, cast):
        client = shared_phone(cast.phone, cast.staff).client
        domain.revoke(cast.phone, actor=Actor(cast.manager))
        assert self.told(client) == (["home"], {})

    def test_a_revoked_one_is_a_phone_of_ones_own_to_whoever_signs_in_by_password(self, cast):
        client = shared_phone(cast.phone, cast.staff).client
        domain.revoke(cast.phone, actor=Actor(cast.manager))
        client.force_login(cast.staff_owner.user)
        assert self.told(client) == ([], {})

    def test_whoever_left_and_whoever_did_not(self, cast):
        assert self.told(own_phone(cast.leaver).client) == (["home"], {})
        assert self.told(own_phone(cast.staff).client) == ([], {})
