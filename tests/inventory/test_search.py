"""The list: what it is narrowed to answers the staff's and the manager's questions; its queries do not grow."""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.utils import timezone

from barnrugs.barns.models import Person
from inventory.enums import CareKind, CareStep, CheckOutcome, Keeping, Kind, Lining
from inventory.models import Blanket
from tests import factories as make
from tests.cast import Cast
from tests.inventory.sending import address

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]


@pytest.fixture
def shelf(cast: Cast) -> dict[str, Blanket]:
    """The cast's seven blankets and some more, each in a state of its own."""
    barn, now = cast.barn, timezone.now()
    more = {
        "heavy": make.BlanketFactory(barn=barn, tag="HVY22", fill_g=250, size_in=Decimal("80.0"), looks="rust red"),
        "light": make.BlanketFactory(barn=barn, tag="LGT22", fill_g=100, kind=Kind.STABLE, waterproofing="none"),
        "sheet": make.BlanketFactory(barn=barn, tag="SHT22", fill_g=0, kind=Kind.RAIN_SHEET, rack="Hook 4"),
        "back": make.BlanketFactory(barn=barn, tag="BCK22", size_in=None, size_back_cm=Decimal("145.0")),
        "soaked": make.BlanketFactory(barn=barn, tag="SKD22"),
        "drying": make.BlanketFactory(barn=barn, tag="DRY22"),
        "lent": make.BlanketFactory(barn=barn, tag="LNT22"),
        "lost": make.BlanketFactory(barn=barn, tag="LST22"),
        "retired": make.BlanketFactory(barn=barn, tag="RTD22"),
        "torn": make.BlanketFactory(barn=barn, tag="TRN22"),
        "unsafe": make.BlanketFactory(barn=barn, tag="NSF22"),
        "fixed": make.BlanketFactory(barn=barn, tag="FXD22"),
        "away": make.BlanketFactory(barn=barn, tag="WAY22"),
        "leaking": make.BlanketFactory(barn=barn, tag="LKN22"),
    }
    placed = {"soaked": Keeping.DRYING, "drying": Keeping.DRYING, "lent": Keeping.LENT, "lost": Keeping.LOST}
    for name, kind in {**placed, "retired": Keeping.RETIRED}.items():
        make.PlacingFactory(
            blanket=more[name], kind=kind, since=now - timedelta(hours=1), soaked=name == "soaked", place="boiler room"
        )
    repair = {"kind": CareKind.REPAIR, "part": "shell"}
    make.CareJobFactory(blanket=more["torn"], **repair)
    make.CareJobFactory(blanket=more["unsafe"], **repair, do_not_use=True)
    make.CareJobFactory(blanket=more["fixed"], **repair, temporary_fix_until=now.date())
    make.CareJobFactory(blanket=more["away"], step=CareStep.AWAY, sent_to="Cleaner")
    make.CareJobFactory(blanket=more["leaking"], kind=CareKind.WATERPROOFING)
    Blanket.objects.filter(barn=barn).update(proofed_on=now.date())
    return more


def asked(client: Client, **query: object) -> list[str]:
    answer = client.get(address("blankets"), query)
    assert answer.status_code == 200
    return [row.blanket.tag for row in answer.context["rows"]]


BY_STAFF = {
    "medium of one horse, question 5": ({"horse": "owners", "fill": "medium"}, {"WRN22"}),
    "fit for rain, question 6": (
        {"proof": "waterproof", "where": "rack", "wet": "dry", "sound": "sound", "fill": ["sheet", "heavy"]},
        {"SHT22", "HVY22", "WNR33"},
    ),
    "not here, question 18": ({"where": ["lost", "lent", "away", "home"]}, {"LST22", "LNT22", "WAY22"}),
    "on a horse, question 18": ({"where": "on_horse"}, {"WRN22"}),
    "wash due, question 19": ({"wash": "wash_due"}, {"WAY22", "THR55"}),
    "waterproofing due, question 19": ({"proofing": "due"}, {"LKN22"}),
    "kind": ({"kind": ["stable", "liner"]}, {"LGT22", "LNR44"}),
    "no fill": ({"fill": "sheet"}, {"SHT22"}),
    "light": ({"fill": "light"}, {"LGT22", "LNR44"}),
    "heavy": ({"fill": "heavy"}, {"HVY22", "WNR33"}),
    "soaked": ({"wet": "soaked"}, {"SKD22"}),
    "drying": ({"wet": "drying"}, {"DRY22"}),
    "unsafe": ({"sound": "do_not_use"}, {"NSF22"}),
    "to repair": ({"sound": ["repair_due", "temporary_fix"]}, {"TRN22", "FXD22"}),
    "retired": ({"where": "retired"}, {"RTD22"}),
    "size": ({"size": "6'8"}, {"HVY22"}),
    "size in centimetres": ({"size": "203 cm"}, {"HVY22"}),
    "owner": ({"owner": "other_owner"}, {"THR55", "LSD77"}),
    "barn's own liner": ({"owner": "barn", "kind": "stable"}, {"LGT22"}),
    "word: colour": ({"q": "rust"}, {"HVY22"}),
    "words: horse and weight": ({"q": "bramble heavy"}, {"WNR33"}),
    "words: kind": ({"q": "rain sheet"}, {"SHT22"}),
    "words: place": ({"q": "hook 4"}, {"SHT22"}),
    "words: grams": ({"q": "250g"}, {"HVY22"}),
    "part of a tag": ({"q": "hvy"}, {"HVY22"}),
    "words: owner": ({"q": "staff owner"}, {"STF66"}),
    "nothing of the kind": ({"q": "purple"}, set()),
}


@pytest.mark.parametrize("name", BY_STAFF)
def test_what_the_list_is_asked_for(cast: Cast, shelf: dict, sign_in: SignIn, name: str) -> None:
    query, tags = BY_STAFF[name]
    people = {"owners": cast.owners_horse.pk, "other_owner": cast.other_owner.pk}
    query = {key: people.get(value, value) if isinstance(value, str) else value for key, value in query.items()}
    assert set(asked(sign_in(cast.staff), **query)) == tags


@pytest.mark.parametrize(
    ("who", "tags"),
    [
        ("owner", {"WRN22", "WNR33", "LNR44"}),
        ("other_owner", {"THR55", "LSD77"}),
        ("lessee", {"LSD77"}),
    ],
)
def test_an_owner_sees_their_own_and_their_horses(
    cast: Cast, shelf: dict, sign_in: SignIn, who: str, tags: set[str]
) -> None:
    assert set(asked(sign_in(getattr(cast, who)))) == tags


def test_staff_see_everything_but_the_retired_and_next_door(cast: Cast, shelf: dict, sign_in: SignIn) -> None:
    every = set(Blanket.objects.filter(barn=cast.barn).values_list("tag", flat=True)) - {"RTD22"}
    for who in (cast.manager, cast.staff, cast.staff_owner):
        assert set(asked(sign_in(who))) == every


def test_what_a_horse_of_mine_wears_i_see_while_it_wears_it(cast: Cast, sign_in: SignIn) -> None:
    wearing = make.WearingFactory(blanket=cast.barn_blanket, horse=cast.other_horse, on_by=cast.staff)
    client = sign_in(cast.other_owner)
    assert "BRN88" in asked(client)
    wearing.off_at, wearing.off_by = timezone.now(), cast.staff
    wearing.save()
    assert "BRN88" not in asked(client)


ORDERS = {
    "tag": ["BRN88", "LNR44", "WRN22"],
    "fill": ["BRN88", "WRN22", "LNR44"],
    "horse": ["WRN22", "LNR44", "BRN88"],
    "kind": ["LNR44", "BRN88", "WRN22"],
    "size": ["LNR44", "WRN22", "BRN88"],
    "where": ["WRN22", "BRN88", "LNR44"],
    "washed": ["BRN88", "WRN22", "LNR44"],
    "proofed": ["LNR44", "WRN22", "BRN88"],
}


@pytest.mark.parametrize("order", ORDERS)
def test_orders(cast: Cast, sign_in: SignIn, order: str) -> None:
    Blanket.objects.filter(pk=cast.owners_liner.pk).update(size_in=70, fill_g=200)
    Blanket.objects.filter(pk=cast.worn.pk).update(size_in=75, proofed_on="2026-01-01")
    Blanket.objects.filter(pk=cast.barn_blanket.pk).update(size_in=80, fill_g=250, proofed_on="2026-02-01")
    Blanket.objects.filter(pk=cast.owners_liner.pk).update(fill_g=150)
    for blanket, days in [(cast.worn, 20), (cast.owners_liner, 10)]:
        make.CareJobFactory(
            blanket=blanket,
            step=CareStep.CHECKED,
            outcome=CheckOutcome.DONE,
            closed_at=timezone.now() - timedelta(days=days),
        )
    found = asked(sign_in(cast.staff), sort=order)
    assert [tag for tag in found if tag in {"BRN88", "LNR44", "WRN22"}] == ORDERS[order]


def test_a_whole_tag_opens_the_blanket(cast: Cast, sign_in: SignIn) -> None:
    answer = sign_in(cast.staff).get(address("blankets"), {"q": "wnr-33"})
    assert answer.url == address("blanket", cast.owners_blanket.pk)
    assert sign_in(cast.other_owner).get(address("blankets"), {"q": "WNR33"}).status_code == 200


def test_active_filters_are_chips_that_can_be_removed(cast: Cast, sign_in: SignIn) -> None:
    query = {"kind": ["turnout", "liner"], "q": "green", "size": "78", "page": "2", "sort": "fill"}
    chips = sign_in(cast.staff).get(address("blankets"), query).context["chips"]
    assert {chip.words for chip in chips} == {"“green”", "Size 78", "Turnout", "Liner"}
    turnout = next(chip for chip in chips if chip.words == "Turnout")
    assert turnout.without == "kind=liner&q=green&size=78&sort=fill"


def test_what_cannot_be_asked_is_said_and_narrows_nothing(cast: Cast, sign_in: SignIn) -> None:
    client = sign_in(cast.staff)
    answer = client.get(
        address("blankets"), {"size": "large", "kind": "saddle", "horse": cast.other.horse.pk, "page": "x"}
    )
    assert set(answer.context["form"].errors) == {"size", "kind", "horse"}
    assert answer.context["page"].paginator.count == 7
    assert "no size we can read" in answer.text


def test_words_and_a_filter_that_find_nothing_point_at_the_filters(cast: Cast, sign_in: SignIn) -> None:
    page = sign_in(cast.staff).get(address("blankets"), {"q": "purple", "kind": "turnout"}).text
    assert "Remove one of the filters above, or all of them." in page


def test_the_help_of_the_search_names_no_horse_and_no_hook(cast: Cast, sign_in: SignIn) -> None:
    words = str(sign_in(cast.staff).get(address("blankets")).context["form"].fields["q"].help_text)
    assert [name for name in ("Bramble", "hook 4") if name in words] == []


def test_an_empty_answer_has_a_next_step(cast: Cast, sign_in: SignIn) -> None:
    page = sign_in(cast.staff).get(address("blankets"), {"q": "purple"}).text
    assert "No blanket is like this." in page
    assert "Nothing here is called or described “purple”." in page
    assert "Remove one of the filters" not in page
    assert "Show all blankets" in page
    nobody = make.PersonFactory(barn=cast.barn, is_owner=True)
    page = sign_in(nobody).get(address("blankets")).text
    assert "There is no blanket here yet." in page
    assert address("blanket_add") in page


def test_fifty_to_a_page(cast: Cast, sign_in: SignIn) -> None:
    make.BlanketFactory.create_batch(60, barn=cast.barn)
    client = sign_in(cast.staff)
    first, second = asked(client, sort="tag"), asked(client, sort="tag", page=2)
    assert (len(first), len(second)) == (50, 17)
    assert not set(first) & set(second)
    answer = client.get(address("blankets"), {"sort": "tag"})
    assert "?sort=tag&amp;page=2" in answer.text


def test_what_was_refused_cannot_be_smuggled_into_a_chip(cast: Cast, sign_in: SignIn) -> None:
    page = sign_in(cast.staff).get(address("blankets"), {"q": "<script>alert(1)</script>"}).text
    assert "<script>alert" not in page


LIST_QUERIES = 8
"""Session, user, person with barn, horses and owners to choose from, how many there are, one page, saved views."""


@pytest.mark.parametrize("number", [1, 3])
def test_the_lists_queries_do_not_grow(
    cast: Cast, sign_in: SignIn, number: int, django_assert_num_queries: Callable
) -> None:
    """Each row with a picture, a horse, an owner, a wearing, a placing and a care job of its own."""
    barn = make.BarnFactory(slug="small", name="Small")
    person = make.PersonFactory(barn=barn, is_manager=True)
    for count in range(number):
        horse = make.HorseFactory(barn=barn)
        owner = make.PersonFactory(barn=barn, is_owner=True)
        blanket = make.BlanketFactory(barn=barn, usual_horse=horse, owner=owner, lining=Lining.NYLON)
        make.WearingFactory(blanket=blanket, horse=horse, on_by=person)
        make.PlacingFactory(blanket=blanket)
        make.CareJobFactory(blanket=blanket, reported_by=person)
        make.PictureFactory(blanket=blanket, taken_by=person)
        make.SavedViewFactory(person=person, name=f"View {count}")
    client = sign_in(person)
    with django_assert_num_queries(LIST_QUERIES):
        answer = client.get("/barns/small/blankets/")
    assert len(answer.context["rows"]) == number
