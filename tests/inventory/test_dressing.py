"""Who may dress a horse otherwise than is decided: the same by a list's Other and by a direct change."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, JournalEntry
from barnrugs.barns.models.barn import HouseModel
from horses.models import Horse
from inventory.domain import dressing, lists, wearing
from inventory.enums import Override
from inventory.models import ChangeList, Question
from inventory.queries import wearings
from tests import factories as make
from tests.inventory.lists import line_of, make_list
from tests.phones import own_phone

pytestmark = pytest.mark.django_db
WHY = "It felt warm under the blanket"
NOTED = {"vet_says": "these", "vet_tags": "WNR33", "vet_note": "After the colic"}


def tags_on(horse):
    return [worn.blanket.tag for worn in wearings.open_on(horse)]


def wear(client, cast, tags, **more):
    url = reverse("wear", args=[cast.barn.slug, cast.owners_horse.pk])
    return client.post(url, {"once": str(uuid.uuid4()), "tags": tags, **more})


def take_off(client, cast, worn=None, **more):
    url = reverse("take_off", args=[cast.barn.slug, (worn or cast.wearing).pk])
    return client.post(url, {"once": str(uuid.uuid4()), **more})


@pytest.fixture
def noted(cast):
    """The veterinarian wants the heavier blanket on; the horse wears the lighter one."""
    Horse.objects.filter(pk=cast.owners_horse.pk).update(**NOTED)
    make_list(cast)
    return line_of(cast)


def charted(cast, override="staff", of="owners_horse", tags="WNR33"):
    chart = make.ChartFactory(barn=cast.barn, horse=getattr(cast, of) if of else None, override=override)
    make.ChartRowFactory(chart=chart, tags=tags)
    make_list(cast)
    return line_of(cast)


@pytest.mark.parametrize("override", Override)
@pytest.mark.parametrize("model", [HouseModel.CHARTS_OBEYED, HouseModel.STAFF_ADJUST])
@pytest.mark.parametrize("of", ["owners_horse", None])
@pytest.mark.parametrize("who", ["staff", "manager"])
def test_a_direct_change_is_refused_to_whom_the_list_refuses_another_answer(cast, act, override, model, of, who):
    Barn.objects.filter(pk=cast.barn.pk).update(house_model=model)
    line = charted(cast, override, of)
    actor = Actor(getattr(cast, who))

    def refused(call):
        try:
            call()
        except Refused as refusal:
            return refusal.sentence
        return ""

    def direct():
        dressing.refuse_otherwise(cast.owners_horse, to=[], actor=actor, why=WHY)

    assert refused(direct) == refused(lambda: lists.refuse_otherwise(line, actor))


def test_a_veterinarians_note_bars_staff_from_wear_choose_and_tonight(cast, sign_in, noted):
    client = sign_in(cast.staff)
    for answer in (wear(client, cast, "BRN88", why=WHY), wear(client, cast, ""), take_off(client, cast)):
        assert answer.status_code == 400
        assert "only the manager may do otherwise" in answer.content.decode()
    assert tags_on(cast.owners_horse) == ["WRN22"]
    assert wear(client, cast, "WNR33").status_code == 302
    assert tags_on(cast.owners_horse) == ["WNR33"]


def test_a_manager_does_otherwise_with_a_reason_that_stands_in_the_journal(cast, sign_in, noted):
    client = sign_in(cast.manager)
    asked = wear(client, cast, "BRN88")
    assert list(asked.context["form"].errors) == ["why"]
    assert wear(client, cast, "BRN88", why=WHY).status_code == 302
    assert JournalEntry.objects.latest("pk").why == WHY


@pytest.mark.parametrize("days", [0, -1])
def test_a_veterinarians_note_bars_until_its_last_day_is_over(cast, sign_in, noted, days):
    until = timezone.localdate(timezone=cast.barn.zone) + timedelta(days=days)
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_until=until)
    make_anew = lists.make_anew
    make_anew(noted.change_list, actor=Actor(cast.staff), at=timezone.now())
    assert wear(sign_in(cast.staff), cast, "BRN88").status_code == (400 if days == 0 else 302)


def test_a_note_written_after_the_list_was_made_bars_at_once(cast, sign_in):
    assert line_of(cast).decided_by == "computed"
    Horse.objects.filter(pk=cast.owners_horse.pk).update(**NOTED)
    assert wear(sign_in(cast.staff), cast, "BRN88", why=WHY).status_code == 400


@pytest.mark.parametrize(
    ("says", "tags", "status"),
    [
        ({"vet_says": "no_advice"}, "BRN88", 400),
        ({"vet_says": "nothing"}, "BRN88", 400),
        ({"vet_says": "nothing"}, "", 302),
        ({"vet_says": "at_least", "vet_fill_g": 300}, "BRN88", 400),
        ({"vet_says": "at_least", "vet_fill_g": 300}, "WNR33", 302),
        ({"vet_says": "at_least", "vet_fill_g": 300}, "LNR44 BRN88", 302),
    ],
)
def test_what_the_veterinarians_note_asks_for_goes_on_without_weather_too(cast, sign_in, says, tags, status):
    Horse.objects.filter(pk=cast.owners_horse.pk).update(vet_note="x", **says)
    assert not ChangeList.objects.exists()
    assert wear(sign_in(cast.staff), cast, tags).status_code == status


def test_staff_do_otherwise_than_a_chart_with_a_reason(cast, sign_in):
    charted(cast)
    client = sign_in(cast.staff)
    for answer in (wear(client, cast, "BRN88"), take_off(client, cast)):
        assert answer.status_code == 400
        assert list(answer.context["form"].errors) == ["why"]
    assert "The owner&#x27;s chart decides here and says something else" in answer.content.decode()
    assert take_off(client, cast, why=WHY).status_code == 302
    assert JournalEntry.objects.latest("pk").why == WHY


def test_an_owner_does_otherwise_than_their_own_chart_without_being_asked(cast, sign_in):
    charted(cast, "nobody")
    assert wear(sign_in(cast.owner), cast, "").status_code == 302


@pytest.mark.parametrize("bad", ["soaked", "unsafe", "found wet"])
def test_what_is_soaked_wet_or_not_to_be_used_may_always_come_off(cast, sign_in, noted, bad):
    more = {}
    if bad == "soaked":
        wearing.mark_soaked(cast.wearing, actor=Actor(cast.staff))
    elif bad == "unsafe":
        make.CareJobFactory(blanket=cast.worn, do_not_use=True, reported_by=cast.staff)
    else:
        more = {"wet": "on", "place": "Boiler room"}
    assert take_off(sign_in(cast.staff), cast, **more).status_code == 302
    assert tags_on(cast.owners_horse) == []


def test_what_is_soaked_may_come_off_but_nothing_else_goes_on_for_it(cast, sign_in, noted):
    wearing.mark_soaked(cast.wearing, actor=Actor(cast.staff))
    assert wear(sign_in(cast.staff), cast, "BRN88", why=WHY).status_code == 400
    url = reverse("line_other", args=[cast.barn.slug, noted.pk])
    page = sign_in(cast.staff).get(url).content.decode()
    assert "WRN22 on it is wet: take it off and hang it up." in page
    assert reverse("choose", args=[cast.barn.slug, cast.owners_horse.pk]) in page
    lists.mark_other(noted, to=[], why="Soaked", actor=Actor(cast.staff))
    assert tags_on(cast.owners_horse) == []


def test_where_nobody_but_the_computed_advice_decides_nothing_is_asked(cast, sign_in):
    make_list(cast)
    assert wear(sign_in(cast.staff), cast, "BRN88").status_code == 302
    assert take_off(sign_in(cast.staff), cast, wearings.open_on(cast.owners_horse).get()).status_code == 302


def test_where_the_chart_cannot_be_carried_out_staff_put_on_something_else_with_a_reason(cast, sign_in):
    charted(cast, "nobody", tags="THR55")
    assert wear(sign_in(cast.staff), cast, "BRN88", why=WHY).status_code == 302


def test_a_late_change_of_a_phone_is_not_refused(cast, noted):
    """It was done: whoever takes it in asks `dressing.refuse_otherwise` what the manager is to be told."""
    wearing.change(cast.owners_horse, to=[cast.barn_blanket], actor=Actor(cast.staff))
    assert tags_on(cast.owners_horse) == ["BRN88"]


def test_what_a_phone_notes_late_though_it_is_barred_comes_before_the_manager(cast, noted):
    phone = own_phone(cast.staff)
    for why in ("", WHY):
        told = phone.event("wear", horse=cast.owners_horse, tags=[], why=why, ago=600)
        assert phone.statuses(told) == ["question"]
    assert tags_on(cast.owners_horse) == ["WRN22"]
    assert Question.objects.filter(kind="contradicts").count() == 2
    assert phone.statuses(phone.event("wear", horse=cast.owners_horse, tags=["WNR33"])) == ["done"]
