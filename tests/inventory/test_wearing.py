"""Putting on and taking off through the pages: each write works, refuses a bad form, keeps others out, happens once."""

import re
import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.models import JournalEntry
from inventory.domain import wearing as domain
from inventory.enums import CareStep, Keeping, Kind
from inventory.models import Placing, Wearing
from inventory.queries import blankets, wearings
from tests import factories as make
from tests.cast import NOW

pytestmark = pytest.mark.django_db


def wear_url(cast, horse=None):
    return reverse("wear", args=[cast.barn.slug, (horse or cast.owners_horse).pk])


def off_url(cast, wearing=None):
    return reverse("take_off", args=[cast.barn.slug, (wearing or cast.wearing).pk])


def sent(**fields):
    return {"once": str(uuid.uuid4()), **fields}


def tags_on(horse):
    return [wearing.blanket.tag for wearing in wearings.open_on(horse)]


def test_wear_makes_the_horse_wear_exactly_the_named_blankets(cast, sign_in):
    tag = cast.barn_blanket.tag
    answer = sign_in(cast.staff).post(wear_url(cast), sent(tags=tag.lower(), why="colder than forecast"))
    assert answer.status_code == 302
    assert tags_on(cast.owners_horse) == [tag]
    cast.wearing.refresh_from_db()
    assert cast.wearing.off_by == cast.staff
    actions = list(JournalEntry.objects.order_by("pk").values_list("action", "why"))[-2:]
    assert actions == [("blanket_taken_off", "colder than forecast"), ("blanket_put_on", "colder than forecast")]


def test_wear_nothing_takes_everything_off(cast, sign_in):
    assert sign_in(cast.manager).post(wear_url(cast), sent(tags="", wet="on", place="Boiler room")).status_code == 302
    assert tags_on(cast.owners_horse) == []
    placing = Placing.objects.get(blanket=cast.worn, until__isnull=True)
    assert (placing.kind, placing.place) == (Keeping.DRYING, "Boiler room")


def test_wear_with_an_unknown_tag_keeps_what_was_typed(cast, sign_in):
    answer = sign_in(cast.staff).post(wear_url(cast), sent(tags="QQQQQ", why="typed"))
    assert answer.status_code == 400
    assert answer.context["form"].errors["tags"] == ["QQQQQ is no blanket that you can put on here."]
    assert b'value="QQQQQ"' in answer.content
    assert b'value="typed"' in answer.content
    assert tags_on(cast.owners_horse) == [cast.worn.tag]


def test_more_than_four_layers_are_refused_at_the_tags(cast, sign_in):
    tags = " ".join(make.BlanketFactory(barn=cast.barn).tag for _number in range(5))
    answer = sign_in(cast.staff).post(wear_url(cast), sent(tags=tags))
    assert answer.status_code == 400
    sentence = "A horse wears at most 4 layers, a neck cover as the outermost one."
    assert answer.context["form"].errors == {"tags": [sentence]}
    assert f'value="{tags}"' in answer.content.decode()
    assert tags_on(cast.owners_horse) == [cast.worn.tag]


@pytest.mark.parametrize(("others", "covers", "goes"), [(4, 0, True), (3, 1, True), (4, 1, False), (0, 2, False)])
def test_a_neck_cover_is_one_of_the_four_layers(cast, act, others, covers, goes):
    to = [make.BlanketFactory(barn=cast.barn) for _number in range(others)]
    to += [make.BlanketFactory(barn=cast.barn, kind=Kind.NECK_COVER) for _number in range(covers)]
    if goes:
        domain.change(cast.barn_horse, to=to, actor=act(cast.staff))
        assert tags_on(cast.barn_horse) == [blanket.tag for blanket in to]
    else:
        with pytest.raises(Refused, match="at most 4 layers"):
            domain.change(cast.barn_horse, to=to, actor=act(cast.staff))


def said(client):
    return [str(message) for message in client.get("/account/", follow=True).context["messages"]]


def test_other_content_under_the_same_number_is_not_said_to_be_done(cast, sign_in):
    client, fields = sign_in(cast.staff), sent(tags=cast.barn_blanket.tag)
    client.post(wear_url(cast), fields)
    assert said(client) == [f"{cast.owners_horse} now wears {cast.barn_blanket.tag}."]
    assert client.post(wear_url(cast), {**fields, "tags": ""}).status_code == 422
    worn = Wearing.objects.get(blanket=cast.barn_blanket, off_at=None)
    assert client.post(off_url(cast, worn), {"once": fields["once"]}).status_code == 422
    assert said(client) == []


def test_wear_without_signing_in_leads_to_the_sign_in_page(cast, client):
    answer = client.post(wear_url(cast), sent(tags=""))
    assert answer.status_code == 302
    assert answer.url.startswith(reverse("account_login"))
    assert tags_on(cast.owners_horse) == [cast.worn.tag]


def test_another_owner_does_not_learn_that_the_horse_exists(cast, sign_in):
    assert sign_in(cast.other_owner).post(wear_url(cast), sent(tags="")).status_code == 404
    assert tags_on(cast.owners_horse) == [cast.worn.tag]


def test_a_manager_of_another_barn_gets_404(cast, sign_in):
    assert sign_in(cast.stranger).post(wear_url(cast), sent(tags="")).status_code == 404
    own = reverse("wear", args=[cast.other.barn.slug, cast.owners_horse.pk])
    assert sign_in(cast.stranger).post(own, sent(tags="")).status_code == 404
    assert tags_on(cast.owners_horse) == [cast.worn.tag]


def test_a_blanket_of_another_barn_is_no_blanket_here(cast, sign_in):
    answer = sign_in(cast.manager).post(wear_url(cast), sent(tags=cast.other.blanket.tag))
    assert answer.status_code == 400
    assert tags_on(cast.owners_horse) == [cast.worn.tag]


def test_wear_sent_again_happens_once(cast, sign_in):
    client, fields = sign_in(cast.staff), sent(tags=cast.barn_blanket.tag)
    first = client.post(wear_url(cast), fields)
    entries = JournalEntry.objects.count()
    again = client.post(wear_url(cast), fields)
    assert (first.status_code, again.status_code, again.url) == (302, 302, first.url)
    assert JournalEntry.objects.count() == entries
    assert client.post(wear_url(cast), {**fields, "tags": ""}).status_code == 422
    assert tags_on(cast.owners_horse) == [cast.barn_blanket.tag]


def test_take_off_works_and_names_who(cast, sign_in):
    assert sign_in(cast.owner).post(off_url(cast), sent()).status_code == 302
    cast.wearing.refresh_from_db()
    assert cast.wearing.off_by == cast.owner
    assert JournalEntry.objects.latest("pk").action == "blanket_taken_off"


def test_take_off_without_its_number_says_so(cast, sign_in):
    answer = sign_in(cast.staff).post(off_url(cast), {})
    assert answer.status_code == 400
    assert answer.context["form"].errors["once"] == ["This form lost its number. Please send it again."]


@pytest.mark.parametrize(("role", "status"), [("other_owner", 404), ("stranger", 404), ("leaver", 404)])
def test_take_off_is_not_for_others(cast, sign_in, role, status):
    assert sign_in(getattr(cast, role)).post(off_url(cast), sent()).status_code == status
    assert tags_on(cast.owners_horse) == [cast.worn.tag]


def test_take_off_without_signing_in_leads_to_the_sign_in_page(cast, client):
    assert client.post(off_url(cast), sent()).url.startswith(reverse("account_login"))
    assert tags_on(cast.owners_horse) == [cast.worn.tag]


def test_take_off_sent_again_happens_once(cast, sign_in):
    client, fields = sign_in(cast.staff), sent(wet="on", place="Loft")
    client.post(off_url(cast), fields)
    entries = JournalEntry.objects.count()
    assert client.post(off_url(cast), fields).status_code == 302
    assert JournalEntry.objects.count() == entries


def test_a_second_taking_off_is_told_who_was_first(cast, sign_in):
    sign_in(cast.owner).post(off_url(cast), sent())
    answer = sign_in(cast.staff).post(off_url(cast), sent())
    assert answer.status_code == 400
    assert answer.context["form"].non_field_errors()[0].startswith(f"{cast.owner} took {cast.worn} off")


def test_the_page_left_is_the_page_returned_to_if_it_is_ours(cast, sign_in):
    client = sign_in(cast.staff)
    assert client.post(wear_url(cast), sent(tags="", back="/barns/home/tonight/")).url == "/barns/home/tonight/"
    assert client.post(wear_url(cast), sent(tags="", back="https://elsewhere.example/")).url.endswith("/choose/")
    assert client.post(wear_url(cast), sent(tags="", back="//elsewhere.example/")).url.endswith("/choose/")


def test_a_worn_blanket_is_refused_with_who_and_on_whom(cast, act):
    with pytest.raises(Refused, match=rf"{cast.worn} is on Bramble: .* put it on at"):
        domain.put_on(cast.worn, horse=cast.barn_horse, actor=act(cast.staff))


@pytest.mark.parametrize("step", [CareStep.BAGGED, CareStep.AWAY, CareStep.BACK])
def test_a_blanket_that_is_not_in_hand_is_refused(cast, act, step):
    make.CareJobFactory(blanket=cast.barn_blanket, step=step, reported_by=cast.staff)
    with pytest.raises(Refused, match="cannot be put on"):
        domain.put_on(cast.barn_blanket, horse=cast.barn_horse, actor=act(cast.staff))
    assert not Wearing.objects.filter(blanket=cast.barn_blanket).exists()


def test_do_not_use_is_refused_at_once(cast, act):
    make.CareJobFactory(blanket=cast.barn_blanket, do_not_use=True, reported_by=cast.staff)
    with pytest.raises(Refused, match="do not use"):
        domain.put_on(cast.barn_blanket, horse=cast.barn_horse, actor=act(cast.staff))


def test_a_wet_blanket_dries_until_somebody_feels_it_dry(cast, act):
    domain.take_off(cast.wearing, actor=act(cast.staff), fate=domain.Fate(wet=True, soaked=True, place="Loft"))
    found = blankets.of(cast.barn).with_condition(cast.barn, NOW).get(pk=cast.worn.pk)
    assert (found.where, found.wet, found.state, found.placing_place) == ("drying", "soaked", "drying", "Loft")
    with pytest.raises(Refused, match="still wet"):
        domain.put_on(cast.worn, horse=cast.owners_horse, actor=act(cast.staff))
    domain.hang_up(cast.worn, actor=act(cast.staff))
    found = blankets.of(cast.barn).with_condition(cast.barn, NOW).get(pk=cast.worn.pk)
    assert (found.where, found.wet, found.state) == ("rack", "dry", "ready")


def test_a_change_leaves_on_what_stays(cast, act):
    domain.change(cast.owners_horse, to=[cast.worn], actor=act(cast.staff))
    cast.wearing.refresh_from_db()
    assert cast.wearing.off_at is None
    domain.change(cast.owners_horse, to=[cast.owners_liner, cast.worn], actor=act(cast.staff))
    assert tags_on(cast.owners_horse) == [cast.owners_liner.tag, cast.worn.tag]


# Where what comes off wet hangs


@pytest.fixture
def known(cast):
    """The loft is where a wet one hung before."""
    ended = {"since": timezone.now() - timedelta(days=9), "until": timezone.now() - timedelta(days=8)}
    return make.PlacingFactory(blanket=cast.owners_blanket, kind="drying", place="Loft", **ended)


def choose_url(cast):
    return reverse("choose", args=[cast.barn.slug, cast.owners_horse.pk])


def radios(text):
    return re.findall(r'type="radio" name="place" value="([^"]*)" id="hangs', text)


def test_taken_off_wet_it_is_asked_where_it_hangs(cast, sign_in, known):
    client = sign_in(cast.staff)
    asked = client.post(off_url(cast), sent(wet="on"))
    assert asked.status_code == 400
    assert asked.context["form"].errors["place"] == ["Say where it hangs, so that somebody finds it."]
    assert radios(asked.text) == ["", "Loft", " "]
    assert tags_on(cast.owners_horse) == [cast.worn.tag]
    assert client.post(off_url(cast), sent(wet="on", place=["Loft", ""])).status_code == 302
    placing = Placing.objects.get(blanket=cast.worn, until__isnull=True)
    assert (placing.kind, placing.place) == (Keeping.DRYING, "Loft")


@pytest.mark.parametrize("url", [wear_url, off_url])
def test_a_place_typed_beside_nothing_wet_is_questioned_and_stays_typed(cast, sign_in, known, url):
    answer = sign_in(cast.staff).post(url(cast), sent(tags="", place=["", "Old dairy"]))
    assert answer.status_code == 400
    assert "Which of the two?" in answer.context["form"].errors["place"][0]
    assert 'value="Old dairy"' in answer.text
    assert 'id="hangs-else" data-else checked' in answer.text
    assert tags_on(cast.owners_horse) == [cast.worn.tag]
    assert sign_in(cast.staff).post(url(cast), sent(tags="", place=[" ", "Old dairy"])).status_code == 302
    assert Placing.objects.get(blanket=cast.worn, until__isnull=True).place == "Old dairy"


def test_the_pages_that_dress_a_horse_offer_the_known_places(cast, sign_in, known):
    client = sign_in(cast.staff)
    cold = {"asked": "1", "weather": "own", "air": "-15", "wind": "breezy", "falling": "dry", "place": "turnout"}
    assert radios(client.get(wear_url(cast)).text) == ["", "Loft", " "]
    chosen = client.get(choose_url(cast), cold)
    offers = [shown for shown, _band in chosen.context["outfits"] + chosen.context["more"] if not shown.worn_now]
    assert offers
    assert radios(chosen.text) == ["Loft", " ", *["", "Loft", " "] * len(offers)]
    tonight = client.get(reverse("tonight", args=[cast.barn.slug]), cold)
    changing = [row for row in tonight.context["rows"] if row.wears and row.shown and not row.shown.worn_now]
    assert changing
    assert radios(tonight.text) == ["", "Loft", " "] * len(changing)
    for text in (chosen.text, tonight.text):
        ids = re.findall(r' id="([^"]+)"', text)
        assert len(ids) == len(set(ids))


def test_a_barn_that_hung_nothing_yet_is_asked_in_words(cast, sign_in):
    text = sign_in(cast.staff).get(wear_url(cast)).text
    assert radios(text) == []
    assert text.count('name="place"') == 1
