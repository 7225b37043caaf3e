"""What goes on by its tag although the matching refuses it in any weather: asked why, then done, and kept."""

import uuid

import pytest
from django.urls import reverse

from barnrugs.barns.models import JournalEntry
from horses.models import Horse
from inventory.models import Blanket, FitNote
from inventory.queries import wearings
from tests import factories as make
from tests.inventory.lists import line_of
from tests.phones import own_phone

pytestmark = pytest.mark.django_db
ALL_THE_SAME = "Say why it goes on all the same."
WHY = "Its owner rang just now"

NO_LEAVE = "THR55 belongs to somebody else, who has not given leave to use it."
TIGHT = "WNR33 was tried on this horse and is too tight."
BIG = "WNR33 was tried on this horse and is too big."
OVER_HEAD = "BRN88 goes on over the head, and this horse is head-shy."


def without_leave(cast):
    return "THR55"


def tight(cast):
    FitNote.objects.filter(pk=cast.fit_note.pk).update(fit="tight")
    return "WNR33"


def big(cast):
    FitNote.objects.filter(pk=cast.fit_note.pk).update(fit="too_big")
    return "WNR33"


def over_the_head(cast):
    Horse.objects.filter(pk=cast.owners_horse.pk).update(head_shy=True)
    Blanket.objects.filter(pk=cast.barn_blanket.pk).update(front="closed")
    return "BRN88"


OBJECTED = [(without_leave, NO_LEAVE), (tight, TIGHT), (big, BIG), (over_the_head, OVER_HEAD)]


def post(client, name, pk, **fields):
    return client.post(reverse(name, args=["home", pk]), {"once": str(uuid.uuid4()), **fields})


def tags_on(cast):
    return [worn.blanket.tag for worn in wearings.open_on(cast.owners_horse)]


@pytest.mark.parametrize(("make_so", "sentence"), OBJECTED)
def test_wear_asks_why_and_keeps_the_reason(cast, sign_in, make_so, sentence):
    tag, client = make_so(cast), sign_in(cast.staff)
    asked = post(client, "wear", cast.owners_horse.pk, tags=tag)
    assert asked.status_code == 400
    assert asked.context["form"].errors == {"why": [f"{sentence} {ALL_THE_SAME}"]}
    assert tags_on(cast) == ["WRN22"]
    assert post(client, "wear", cast.owners_horse.pk, tags=tag, why=WHY).status_code == 302
    assert tags_on(cast) == [tag]
    assert JournalEntry.objects.filter(action="blanket_put_on").latest("pk").why == WHY


@pytest.mark.parametrize(("make_so", "sentence"), OBJECTED)
def test_other_by_its_tag_asks_for_ones_own_words(cast, sign_in, make_so, sentence):
    """A reason that was picked answers why not the list's; this asks why this one."""
    line = line_of(cast)
    tag, client = make_so(cast), sign_in(cast.staff)
    given = {"instead": "by_tag", "tags": tag, "reason": "The blanket on the list was wet"}
    asked = post(client, "line_other", line.pk, **given)
    assert asked.context["form"].errors == {"more": [f"{sentence} {ALL_THE_SAME}"]}
    assert post(client, "line_other", line.pk, **given, more=WHY).status_code == 302
    assert tags_on(cast) == [tag]
    line.refresh_from_db()
    assert line.why == f"The blanket on the list was wet: {WHY}"


@pytest.mark.parametrize("tags", ["WNR33", "BRN88", "LNR44 WRN22"])
def test_what_nothing_speaks_against_goes_on_without_being_asked(cast, sign_in, tags):
    assert post(sign_in(cast.staff), "wear", cast.owners_horse.pk, tags=tags).status_code == 302


def test_what_is_on_already_is_not_asked_about(cast, sign_in):
    make.FitNoteFactory(blanket=cast.worn, horse=cast.owners_horse, fit="tight")
    assert post(sign_in(cast.staff), "wear", cast.owners_horse.pk, tags="LNR44 WRN22").status_code == 302


def test_leave_for_this_horse_and_the_owners_own_hand_need_no_reason(cast, sign_in):
    client = sign_in(cast.staff)
    assert post(client, "wear", cast.staff_owners_horse.pk, tags="WNR33").status_code == 302
    assert post(sign_in(cast.staff_owner), "wear", cast.barn_horse.pk, tags="STF66").status_code == 302
    assert post(client, "wear", cast.leased_horse.pk, tags="THR55").status_code == 302


def test_several_objections_are_all_named(cast, sign_in):
    tight(cast)
    asked = post(sign_in(cast.staff), "wear", cast.owners_horse.pk, tags="WNR33 THR55")
    assert asked.context["form"].errors["why"] == [f"{NO_LEAVE} {TIGHT} {ALL_THE_SAME}"]


@pytest.mark.parametrize(("make_so", "sentence"), OBJECTED)
@pytest.mark.parametrize("kind", ["other", "wear"])
def test_what_a_phone_notes_without_a_word_of_why_comes_before_the_manager(cast, make_so, sentence, kind):
    phone, tag = own_phone(cast.staff), make_so(cast)
    about = {"line": line_of(cast)} if kind == "other" else {"horse": cast.owners_horse}
    told = {"why": "The blanket on the list is wet"} if kind == "other" else {}
    (answer,) = phone.send(phone.event(kind, **about, tags=[tag], **told))
    assert (answer["status"], sentence in answer["said"], tags_on(cast)) == ("question", True, ["WRN22"])
    own_words = {"why": f"The blanket on the list is wet: {WHY}", "more": WHY} if kind == "other" else {"why": WHY}
    assert phone.statuses(phone.event(kind, **about, tags=[tag], **own_words)) == ["done"]
    assert tags_on(cast) == [tag]
