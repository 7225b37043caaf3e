"""Blankets: added, changed by one and by two, taken back, retired and back; the list and what it is asked for."""

import re
import uuid
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal

import pytest
from django.contrib.messages import get_messages
from django.test import Client
from django.utils import timezone

from barnrugs.barns.domain.editing import ChangedMeanwhile
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor, actions
from barnrugs.barns.models import JournalEntry, Person
from barnrugs.barns.queries import journal
from horses.enums import SizeSystem
from inventory import particulars, tags
from inventory.domain import blankets as domain
from inventory.domain import care, damage, wearing
from inventory.enums import CareKind, CareStep, DamagedPart, Keeping, Kind, Waterproofing, Wet, Where
from inventory.models import Blanket, CareJob, Picture, Placing, SavedView
from inventory.queries import blankets as queries
from tests import factories as make
from tests.cast import NOW, Cast
from tests.inventory.forms import blanket_fields, picture_file, seen_of
from tests.inventory.sending import address, records, send

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]
Act = Callable[..., Actor]
ALL = (Blanket, JournalEntry, Picture, SavedView, Placing, CareJob)


def last_entry(blanket: Blanket) -> JournalEntry:
    return JournalEntry.objects.filter(subjects__kind="blanket", subjects__subject_id=blanket.pk).order_by("pk").last()


def newest(cast: Cast) -> Blanket:
    return Blanket.objects.filter(barn=cast.barn).latest("pk")


def said(blanket: Blanket, person: Person, **how: bool) -> list[str]:
    return [sentence.text for sentence in journal.sentences(journal.about(blanket), person, **how)]


class TestAdding:
    def url(self) -> str:
        return address("blanket_add")

    def test_it_works_with_the_size_as_given_and_as_a_figure(self, cast: Cast, sign_in: SignIn) -> None:
        answer = send(sign_in(cast.manager), self.url(), **blanket_fields(usual_horse=cast.owners_horse.pk))
        made = newest(cast)
        assert answer.url == address("blanket", made.pk)
        assert tags.is_tag(made.tag)
        assert (made.size_given, made.size_system, made.size_in) == ("6'6", SizeSystem.FEET_INCHES, Decimal("78.0"))
        assert (made.kind, made.fill_g, made.owner, made.usual_horse) == (Kind.TURNOUT, 200, None, cast.owners_horse)
        assert said(made, cast.manager) == [f"Manager added {made.tag}."]

    def test_along_the_back_is_kept_apart(self, cast: Cast, sign_in: SignIn) -> None:
        send(sign_in(cast.manager), self.url(), **blanket_fields(size="145", size_system="cm_back"))
        made = newest(cast)
        assert (made.size_in, made.size_back_cm) == (None, Decimal("145.0"))

    def test_an_owner_adds_their_own_whatever_they_send(self, cast: Cast, sign_in: SignIn) -> None:
        send(sign_in(cast.owner), self.url(), **blanket_fields(owner=cast.other_owner.pk))
        assert newest(cast).owner == cast.owner

    @pytest.mark.parametrize(
        ("wrong", "field"),
        [
            ({"size": "145 cm"}, "size"),
            ({"size": "29"}, "size"),
            ({"size": "111"}, "size"),
            ({"size": "large"}, "size"),
            ({"kind": ""}, "kind"),
            ({"waterproofing": ""}, "waterproofing"),
            ({"fill_g": "801"}, "fill_g"),
            ({"fill_g": "-1"}, "fill_g"),
            ({"denier": "7"}, "denier"),
            ({"bought_on": "2100-01-01"}, "bought_on"),
            ({"proofed_on": "2100-01-01"}, "proofed_on"),
            ({"price": "-1"}, "price"),
            ({"kind": "saddle"}, "kind"),
        ],
    )
    def test_a_bad_form_is_shown_again(self, cast: Cast, sign_in: SignIn, wrong: dict, field: str) -> None:
        before = records(ALL)
        answer = send(sign_in(cast.manager), self.url(), **blanket_fields(**wrong))
        assert answer.status_code == 200
        assert list(answer.context["form"].errors) == [field]
        assert "green, torn corner" in answer.text
        assert records(ALL) == before

    def test_anonymous_is_sent_to_sign_in(self, cast: Cast, sign_in: SignIn) -> None:
        before = records(ALL)
        assert send(sign_in(None), self.url(), **blanket_fields()).status_code == 302
        assert records(ALL) == before

    def test_another_owners_horse_cannot_be_named(self, cast: Cast, sign_in: SignIn) -> None:
        before = records(ALL)
        answer = send(sign_in(cast.owner), self.url(), **blanket_fields(usual_horse=cast.other_horse.pk))
        assert list(answer.context["form"].errors) == ["usual_horse"]
        assert records(ALL) == before

    def test_another_barns_horse_and_owner_cannot_be_named(self, cast: Cast, sign_in: SignIn) -> None:
        before = records(ALL)
        next_door = {"usual_horse": cast.other.horse.pk, "owner": cast.other.person.pk}
        answer = send(sign_in(cast.manager), self.url(), **blanket_fields(**next_door))
        assert set(answer.context["form"].errors) == set(next_door)
        assert send(sign_in(cast.stranger), self.url(), **blanket_fields()).status_code == 404
        assert records(ALL) == before

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn) -> None:
        once, client = uuid.uuid4(), sign_in(cast.manager)
        first = send(client, self.url(), once=once, **blanket_fields())
        after = records(ALL)
        assert send(client, self.url(), once=once, **blanket_fields()).url == first.url
        assert send(client, self.url(), once=once, **blanket_fields(fill_g="300")).status_code == 422
        assert records(ALL) == after

    def test_a_picture_along_with_it(self, cast: Cast, sign_in: SignIn) -> None:
        send(sign_in(cast.manager), self.url(), picture=picture_file(), **blanket_fields())
        assert Picture.objects.get().blanket == newest(cast)

    @pytest.mark.parametrize("data", [b"", b"<svg/>", b"\xff\xd8\xff nothing more"])
    def test_it_is_saved_even_if_its_picture_fails(self, cast: Cast, sign_in: SignIn, data: bytes) -> None:
        file = picture_file()
        file.file.seek(0)
        file.file.truncate()
        file.file.write(data)
        file.size = len(data)
        answer = send(sign_in(cast.manager), self.url(), picture=file, **blanket_fields())
        made = newest(cast)
        assert answer.url == address("blanket", made.pk)
        assert not Picture.objects.exists()
        messages = [str(message) for message in get_messages(answer.wsgi_request)]
        assert any("picture could not be kept" in message for message in messages), messages

    def test_nothing_that_nobody_knows_is_ready_made(self, cast: Cast, sign_in: SignIn) -> None:
        form = sign_in(cast.manager).get(self.url()).context["form"]
        decisive = ("kind", "fill_g", "waterproofing", "windproof")
        assert {form[name].value() for name in decisive} == {""}
        assert dict(form.fields["breathable"].choices)[str(form["breathable"].value())] == "No, or not known"

    def test_without_grams_it_is_not_saved_and_zero_grams_are_grams(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.manager)
        assert list(send(client, self.url(), **blanket_fields(fill_g="")).context["form"].errors) == ["fill_g"]
        assert send(client, self.url(), **blanket_fields(fill_g="0")).status_code == 302
        assert newest(cast).fill_g == 0

    @pytest.mark.parametrize(("said", "kept"), [("", False), ("True", True), ("False", False)])
    def test_breathable_only_where_somebody_says_so(self, cast: Cast, sign_in: SignIn, said: str, kept: bool) -> None:
        assert send(sign_in(cast.manager), self.url(), **blanket_fields(breathable=said)).status_code == 302
        blanket = newest(cast)
        assert blanket.breathable is kept
        words = "yes" if kept else "no, or not known"
        client = sign_in(cast.manager)
        assert f"<dt>Breathable</dt><dd>{words}</dd>" in client.get(address("blanket", blanket.pk)).text
        field = client.get(address("blanket_change", blanket.pk)).context["form"]["breathable"]
        assert str(field.value()) == str(kept)
        assert [label for _value, label in field.field.choices] == ["No, or not known", "Yes"]

    @pytest.mark.parametrize("breathable", [True, False])
    def test_another_like_this_breathes_as_it_does(self, cast: Cast, sign_in: SignIn, breathable: bool) -> None:
        model = make.BlanketFactory(barn=cast.barn, breathable=breathable)
        form = sign_in(cast.manager).get(self.url(), {"like": model.pk}).context["form"]
        assert str(form["breathable"].value()) == str(breathable)

    def test_a_long_form_begins_with_what_was_refused_and_links_to_it(self, cast: Cast, sign_in: SignIn) -> None:
        text = send(sign_in(cast.manager), self.url(), **blanket_fields(fill_g="801", price="-1")).text
        said = text.partition('role="alert">')[2].partition("</div>")[0]
        assert "2 fields need another look:" in said
        links = re.findall(r'href="#(\w+)">([^<]+)</a>: ([^<]+)<', said)
        assert [(anchor, label) for anchor, label, _sentence in links] == [
            ("id_fill_g", "Fill, grams per square metre"),
            ("id_price", "Price"),
        ]
        assert all(f'id="{anchor}"' in text for anchor, _label, _sentence in links)
        assert "At most 800." in links[0][2]

    def test_another_like_this_has_its_particulars_and_not_its_history(self, cast: Cast, sign_in: SignIn) -> None:
        model = make.BlanketFactory(
            barn=cast.barn, owner=cast.owner, usual_horse=cast.owners_horse, price=80, note="mine", back_seam=True
        )
        form = sign_in(cast.manager).get(self.url(), {"like": model.pk}).context["form"]
        shown = {name: form[name].value() for name in ("kind", "size", "fill_g", "owner", "price", "note", "back_seam")}
        assert shown == {
            "kind": "turnout",
            "size": "78",
            "fill_g": 200,
            "owner": cast.owner.pk,
            "price": None,
            "note": "",
            "back_seam": True,
        }

    def test_another_like_one_that_may_not_be_seen_is_404(self, cast: Cast, sign_in: SignIn) -> None:
        assert sign_in(cast.owner).get(self.url(), {"like": cast.other_blanket.pk}).status_code == 404
        assert sign_in(cast.manager).get(self.url(), {"like": cast.other.blanket.pk}).status_code == 404

    def test_two_never_get_one_tag(self, cast: Cast, act: Act) -> None:
        with pytest.raises(Refused, match="a blanket with the tag WNR33 already"):
            domain.add_blanket({"kind": Kind.SHEET, "tag": "WNR33"}, actor=act(cast.manager))


class TestChanging:
    def url(self, cast: Cast) -> str:
        return address("blanket_change", cast.owners_blanket.pk)

    def fields(self, cast: Cast, **others: object) -> dict[str, object]:
        seen = seen_of(cast.owners_blanket, cast.owner)
        return blanket_fields(seen=seen, usual_horse=cast.owners_horse.pk, **others)

    def test_it_works_and_says_what_changed(self, cast: Cast, sign_in: SignIn) -> None:
        blanket = cast.owners_blanket
        assert blanket.fill_g == 300
        send(
            sign_in(cast.owner),
            self.url(cast),
            **self.fields(cast, fill_g="150", size="80", looks="", rack="", price="45"),
        )
        blanket.refresh_from_db()
        assert (blanket.fill_g, blanket.size_in, blanket.price) == (150, 80, 45)
        (sentence,) = said(blanket, cast.owner, sees_money=True)
        assert sentence == (
            "Owner changed WNR33: size from 78 to 80; fill in grams from 300 to 150; price from nothing to 45.00."
        )

    @pytest.mark.parametrize(
        ("written", "price"), [("1,200.50", "1200.50"), ("1.200,50", "1200.50"), ("45,5", "45.50"), ("1,200", None)]
    )
    def test_thousands_may_be_grouped_where_only_one_sum_can_be_meant(
        self, cast: Cast, sign_in: SignIn, written: str, price: str | None
    ) -> None:
        """The point or the comma groups and the other is decimal, as the locale data of English and German have it."""
        fields = self.fields(cast, fill_g="300", size="78", price=written)
        answer = send(sign_in(cast.owner), self.url(cast), **fields)
        cast.owners_blanket.refresh_from_db()
        assert (answer.status_code, cast.owners_blanket.price) == ((302, Decimal(price)) if price else (200, None))

    def test_money_is_kept_from_those_who_may_not_see_it(self, cast: Cast, sign_in: SignIn) -> None:
        fields = self.fields(cast, fill_g="300", size="78", looks="", rack="", price="45")
        send(sign_in(cast.owner), self.url(cast), **fields)
        assert said(cast.owners_blanket, cast.staff) == ["Owner changed WNR33: nothing that you may see."]
        page = sign_in(cast.staff).get(address("blanket", cast.owners_blanket.pk)).text
        assert "45.00" not in page
        assert "45.00" in sign_in(cast.owner).get(address("blanket", cast.owners_blanket.pk)).text

    def test_saved_as_it_was_nothing_is_written_down(self, cast: Cast, sign_in: SignIn) -> None:
        before = records(ALL)
        send(sign_in(cast.owner), self.url(cast), **self.fields(cast, fill_g="300", size="78", looks="", rack=""))
        assert records(ALL) == before

    def test_a_bad_form_is_shown_again(self, cast: Cast, sign_in: SignIn) -> None:
        answer = send(sign_in(cast.owner), self.url(cast), **self.fields(cast, size="12", note="typed"))
        assert list(answer.context["form"].errors) == ["size"]
        assert "typed" in answer.text
        assert not journal.about(cast.owners_blanket).exists()

    def test_anonymous_is_sent_to_sign_in(self, cast: Cast, sign_in: SignIn) -> None:
        assert send(sign_in(None), self.url(cast), **self.fields(cast)).status_code == 302
        assert not journal.about(cast.owners_blanket).exists()

    def test_another_owner_sees_nothing(self, cast: Cast, sign_in: SignIn) -> None:
        assert send(sign_in(cast.other_owner), self.url(cast), **self.fields(cast)).status_code == 404
        assert not journal.about(cast.owners_blanket).exists()

    def test_another_barn_sees_nothing(self, cast: Cast, sign_in: SignIn) -> None:
        assert send(sign_in(cast.stranger), self.url(cast), **self.fields(cast)).status_code == 404
        their_own = address("blanket_change", cast.other.blanket.pk)
        assert send(sign_in(cast.manager), their_own, **self.fields(cast)).status_code == 404

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn) -> None:
        once, client, fields = uuid.uuid4(), sign_in(cast.owner), self.fields(cast)
        assert send(client, self.url(cast), once=once, **fields).status_code == 302
        after = records(ALL)
        assert send(client, self.url(cast), once=once, **fields).status_code == 302
        assert records(ALL) == after

    def test_of_two_people_the_second_is_shown_what_changed_and_loses_nothing(
        self, cast: Cast, sign_in: SignIn
    ) -> None:
        blanket, second = (
            cast.owners_blanket,
            self.fields(cast, fill_g="300", size="78", looks="", rack="", note="typed"),
        )
        first = self.fields(cast, fill_g="250", size="78", looks="", rack="", note="")
        send(sign_in(cast.manager), self.url(cast), **{**first, "owner": cast.owner.pk})
        answer = send(sign_in(cast.owner), self.url(cast), **second)
        form = answer.context["form"]
        assert answer.status_code == 200
        assert "Manager changed this while you were writing" in answer.text
        assert "from 300 to 250" in answer.text
        assert (form["note"].value(), form["fill_g"].value()) == ("typed", "250")
        blanket.refresh_from_db()
        assert (blanket.fill_g, blanket.note) == (250, "")
        sent_again = {**second, "seen": form["seen"].value(), "fill_g": form["fill_g"].value()}
        assert send(sign_in(cast.owner), self.url(cast), **sent_again).status_code == 302
        blanket.refresh_from_db()
        assert (blanket.fill_g, blanket.note) == (250, "typed")

    def test_of_two_calls_the_second_is_refused(self, cast: Cast, act: Act) -> None:
        seen = {"fill_g": 300}
        domain.change_blanket(cast.owners_blanket, values={"fill_g": 250}, seen=seen, actor=act(cast.manager))
        with pytest.raises(ChangedMeanwhile, match="Manager changed this"):
            domain.change_blanket(cast.owners_blanket, values={"fill_g": 100}, seen=seen, actor=act(cast.owner))

    def test_a_manager_hands_it_to_another_horse_and_both_logs_say_so(self, cast: Cast, act: Act) -> None:
        domain.change_blanket(
            cast.owners_blanket, values={"usual_horse": cast.other_horse, "owner": None}, actor=act(cast.manager)
        )
        sentence = "Manager changed WNR33: owner from Owner to the barn's own; usual horse from Bramble to Dapple."
        for thing in (cast.owners_blanket, cast.owners_horse, cast.other_horse):
            texts = [told.text for told in journal.sentences(journal.about(thing), cast.manager)]
            assert sentence in texts


class TestTakingBack:
    @pytest.fixture
    def entry(self, cast: Cast, act: Act) -> JournalEntry:
        domain.change_blanket(cast.owners_blanket, values={"fill_g": 100, "usual_horse": None}, actor=act(cast.manager))
        return last_entry(cast.owners_blanket)

    def url(self, cast: Cast, entry: JournalEntry) -> str:
        return address("blanket_take_back", cast.owners_blanket.pk, entry.pk)

    def test_it_works_by_a_new_entry(self, cast: Cast, sign_in: SignIn, entry: JournalEntry) -> None:
        send(sign_in(cast.manager), self.url(cast, entry))
        cast.owners_blanket.refresh_from_db()
        assert (cast.owners_blanket.fill_g, cast.owners_blanket.usual_horse) == (300, cast.owners_horse)
        assert said(cast.owners_blanket, cast.manager) == [
            "Manager took back a change of WNR33: usual horse from nothing to Bramble; fill in grams from 100 to 300.",
            "Manager changed WNR33: usual horse from Bramble to nothing; fill in grams from 300 to 100.",
        ]

    def test_what_was_taken_back_can_be_taken_back(self, cast: Cast, act: Act, entry: JournalEntry) -> None:
        domain.take_back(cast.owners_blanket, entry=entry, actor=act(cast.manager))
        domain.take_back(cast.owners_blanket, entry=last_entry(cast.owners_blanket), actor=act(cast.manager))
        cast.owners_blanket.refresh_from_db()
        assert cast.owners_blanket.fill_g == 100

    def test_changed_again_since_it_is_refused(
        self, cast: Cast, act: Act, sign_in: SignIn, entry: JournalEntry
    ) -> None:
        domain.change_blanket(cast.owners_blanket, values={"fill_g": 50}, actor=act(cast.owner))
        answer = send(sign_in(cast.manager), self.url(cast, entry))
        assert "changed again since" in answer.text
        cast.owners_blanket.refresh_from_db()
        assert cast.owners_blanket.fill_g == 50

    def test_an_entry_about_another_blanket_is_no_way_in(self, cast: Cast, act: Act, entry: JournalEntry) -> None:
        with pytest.raises(Refused, match="cannot be taken back"):
            domain.take_back(cast.other_blanket, entry=entry, actor=act(cast.manager))

    @pytest.mark.parametrize(("who", "status"), [("staff", 403), ("other_owner", 404), ("stranger", 404)])
    def test_others_may_not(self, cast: Cast, sign_in: SignIn, entry: JournalEntry, who: str, status: int) -> None:
        assert send(sign_in(getattr(cast, who)), self.url(cast, entry)).status_code == status
        assert last_entry(cast.owners_blanket) == entry

    def test_anonymous_is_sent_to_sign_in(self, cast: Cast, sign_in: SignIn, entry: JournalEntry) -> None:
        assert send(sign_in(None), self.url(cast, entry)).status_code == 302
        assert last_entry(cast.owners_blanket) == entry

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn, entry: JournalEntry) -> None:
        once, client = uuid.uuid4(), sign_in(cast.owner)
        send(client, self.url(cast, entry), once=once)
        after = records(ALL)
        assert send(client, self.url(cast, entry), once=once).status_code == 302
        assert records(ALL) == after


class TestTaps:
    """Lost, found, retired, back in use, dry: the same tests for each of these writes."""

    TAPS = {
        "blanket_lost": (None, "lost", "Owner noted that WNR33 is lost."),
        "blanket_found": (Keeping.LOST, "rack", "Owner found WNR33 again."),
        "blanket_retire": (None, "retired", "Owner retired WNR33."),
        "blanket_return": (Keeping.RETIRED, "rack", "Owner brought WNR33 back into use."),
        "blanket_dry": (Keeping.DRYING, "rack", "Owner felt WNR33 dry and hung it up."),
    }

    @pytest.fixture(params=TAPS)
    def tap(self, request: pytest.FixtureRequest, cast: Cast) -> str:
        was = self.TAPS[request.param][0]
        if was:
            cast.placing.until = timezone.now() - timedelta(hours=1)
            cast.placing.save(update_fields=["until"])
            make.PlacingFactory(blanket=cast.owners_blanket, kind=was, since=cast.placing.until)
        return request.param

    def where(self, cast: Cast) -> str:
        return queries.of(cast.barn).with_condition(cast.barn, timezone.now()).get(pk=cast.owners_blanket.pk).where

    def test_it_works(self, cast: Cast, sign_in: SignIn, tap: str) -> None:
        client = sign_in(cast.owner)
        assert client.get(address(tap, cast.owners_blanket.pk)).status_code == 200
        answer = send(client, address(tap, cast.owners_blanket.pk), why="Seen by the gate")
        assert answer.url == address("blanket", cast.owners_blanket.pk)
        assert self.where(cast) == self.TAPS[tap][1]
        assert said(cast.owners_blanket, cast.owner)[0] == self.TAPS[tap][2]

    def test_a_bad_form_is_refused(self, cast: Cast, sign_in: SignIn, tap: str) -> None:
        before, where = records(ALL), self.where(cast)
        answer = sign_in(cast.owner).post(address(tap, cast.owners_blanket.pk), {"once": "no number"})
        assert answer.status_code == 200
        assert (records(ALL), self.where(cast)) == (before, where)

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("other_owner", 404), ("stranger", 404), ("leaver", 404)])
    def test_others_may_not(self, cast: Cast, sign_in: SignIn, tap: str, who: str | None, status: int) -> None:
        before, where = records(ALL), self.where(cast)
        client = sign_in(getattr(cast, who) if who else None)
        assert send(client, address(tap, cast.owners_blanket.pk)).status_code == status
        assert (records(ALL), self.where(cast)) == (before, where)

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn, tap: str) -> None:
        once, client = uuid.uuid4(), sign_in(cast.owner)
        send(client, address(tap, cast.owners_blanket.pk), once=once)
        after = records(ALL)
        assert send(client, address(tap, cast.owners_blanket.pk), once=once).status_code == 302
        assert records(ALL) == after

    @pytest.mark.parametrize("name", ["blanket_lost", "blanket_retire"])
    def test_what_a_horse_wears_comes_off_first(self, cast: Cast, sign_in: SignIn, name: str) -> None:
        answer = send(sign_in(cast.owner), address(name, cast.worn.pk))
        assert "Take it off first" in answer.text

    def test_twice_is_refused_with_a_sentence(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.owner)
        for name, sentence in [("blanket_found", "is not marked lost"), ("blanket_return", "is not retired")]:
            assert sentence in send(client, address(name, cast.owners_blanket.pk)).text


def test_a_broken_blanket_brought_back_is_still_broken(cast: Cast, act: Act) -> None:
    blanket, actor = cast.owners_blanket, act(cast.owner)
    damage.report(blanket, part=DamagedPart.STRAP, usable=False, actor=actor)
    care.ask(blanket, CareKind.WASH, actor=actor)
    care.retire(blanket, actor=actor)
    domain.bring_back(blanket, actor=actor)
    known = queries.of(cast.barn).with_condition(cast.barn, NOW).get(pk=blanket.pk)
    assert (known.where, known.sound, known.clean, known.state) == ("rack", "do_not_use", "wash_due", "do_not_use")
    assert list(blanket.care_jobs.filter(closed_at__isnull=True).values_list("kind", "part", "step")) == [
        (CareKind.REPAIR, DamagedPart.STRAP, CareStep.REPORTED),
        (CareKind.WASH, DamagedPart.DIRT, CareStep.REPORTED),
    ]


def test_work_that_ended_before_it_was_retired_stays_ended(cast: Cast, act: Act) -> None:
    job = make.CareJobFactory(
        blanket=cast.owners_blanket, step=CareStep.RETIRED, closed_at=NOW - timedelta(days=9), reported_by=cast.staff
    )
    care.retire(cast.owners_blanket, actor=act(cast.owner))
    domain.bring_back(cast.owners_blanket, actor=act(cast.owner))
    assert list(cast.owners_blanket.care_jobs.all()) == [job]


@pytest.mark.parametrize(
    ("particular", "doubt"),
    [
        ({"back_seam": True}, "leaks at the seam"),
        ({"waterproofing": Waterproofing.NONE}, "never offered for rain"),
        ({"kind": Kind.SHEET}, "Sheets have no fill"),
        ({"fill_g": 500}, "More than 450 g"),
        ({"denier": None}, "Without a denier"),
        ({"size_in": None}, "Without a size"),
    ],
)
def test_what_looks_wrong_is_said_and_not_refused(cast: Cast, sign_in: SignIn, particular: dict, doubt: str) -> None:
    blanket = make.BlanketFactory(barn=cast.barn, **particular)
    doubts = particulars.doubts(blanket)
    assert len(doubts) == 1
    assert doubt in doubts[0]
    assert doubt in sign_in(cast.manager).get(address("blanket", blanket.pk)).text


def test_a_plain_turnout_raises_no_doubt(cast: Cast) -> None:
    assert particulars.doubts(cast.owners_blanket) == []


@pytest.mark.parametrize(
    ("kind", "proof", "verdict"),
    [
        (Kind.TURNOUT, Waterproofing.WATERPROOF, "wear"),
        (Kind.TURNOUT, Waterproofing.RESISTANT, "caution"),
        (Kind.SHEET, Waterproofing.NONE, "caution"),
        (Kind.STABLE, Waterproofing.NONE, "no"),
        (Kind.LINER, Waterproofing.WATERPROOF, "no"),
        (Kind.COOLER, Waterproofing.NONE, "no"),
    ],
)
def test_may_this_one_go_outside(cast: Cast, kind: Kind, proof: Waterproofing, verdict: str) -> None:
    """Question 6."""
    assert particulars.outside(Blanket(kind=kind, waterproofing=proof))[0] == verdict


@pytest.mark.parametrize(
    ("where", "unsafe", "wet", "verdict", "said"),
    [
        (Where.RACK, False, Wet.DRY, "wear", "May go outside, in rain too."),
        (Where.RACK, True, Wet.DRY, "no", "Not now: it is marked do not use."),
        (Where.RACK, False, Wet.SOAKED, "no", "Not now: it is soaked."),
        (Where.DRYING, False, Wet.DRYING, "no", "Not now: it is drying."),
        (Where.RETIRED, False, Wet.DRY, "no", "Not now: retired."),
        (Where.LOST, True, Wet.DRY, "no", "Not now: lost."),
    ],
)
def test_its_state_stands_above_where_it_may_go(where: Where, unsafe: bool, wet: Wet, verdict: str, said: str) -> None:
    """A blanket that may go out in rain, as it is now."""
    blanket = Blanket(kind=Kind.TURNOUT, waterproofing=Waterproofing.WATERPROOF)
    blanket.where, blanket.is_unsafe, blanket.wet = where, unsafe, wet
    assert particulars.outside_now(blanket) == (verdict, said)


class TestLog:
    def test_who_left_and_whose_name_was_erased(self, cast: Cast, act: Act) -> None:
        domain.change_blanket(cast.owners_blanket, values={"fill_g": 100}, actor=act(cast.manager))
        Person.objects.filter(pk=cast.manager.pk).update(name="")
        assert said(cast.owners_blanket, cast.staff)[0].startswith("Somebody who left changed WNR33")

    def test_on_which_phone_and_when_it_reached_us(self, cast: Cast, act: Act) -> None:
        earlier = timezone.now() - timedelta(hours=3)
        actor = act(cast.staff, device=cast.phone, there_at=earlier)
        wearing.take_off(cast.wearing, actor=actor)
        (sentence,) = journal.sentences(journal.about(cast.worn), cast.staff)
        assert (sentence.text, sentence.device, sentence.at) == ("Staff took WRN22 off Bramble.", "Barn Phone", earlier)
        assert sentence.arrived_at is not None

    def test_its_number_of_queries_does_not_grow(self, cast: Cast, act: Act, django_assert_num_queries) -> None:
        for fill, who in [(100, cast.manager), (150, cast.owner), (200, cast.manager)]:
            domain.change_blanket(cast.owners_blanket, values={"fill_g": fill}, actor=act(who))
            with django_assert_num_queries(3):
                journal.sentences(journal.about(cast.owners_blanket), cast.staff)

    def test_every_sentence_in_the_house_can_be_said(self, cast: Cast) -> None:
        """An entry that lacks every word its sentence has is still readable."""
        assert len(actions()) > 20
        entries = [
            make.JournalEntryFactory(barn=cast.barn, action=name, person_key=cast.staff.key) for name in actions()
        ]
        texts = [sentence.text for sentence in journal.sentences(entries, cast.manager)]
        assert len(texts) == len(entries)
        assert [text for text in texts if "{" in text or not text.endswith(".")] == []
