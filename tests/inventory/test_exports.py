"""Lists that are taken out: whose things are in them, who sees money, and that they come in again unchanged."""

import csv
import io
import uuid
from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from openpyxl import load_workbook

from horses.enums import SizeSystem
from horses.models import Horse
from inventory import tags
from inventory.enums import LineFate
from inventory.models import Blanket, ImportRun
from tests import factories as make
from tests.inventory import sheets
from tests.inventory.test_imports import confirm, fates, faults, send

pytestmark = pytest.mark.django_db


def export(client, what: str = "blankets", kind: str = "csv") -> bytes:
    answer = client.get(reverse("export_file", args=["home", what, kind]))
    assert answer.status_code == 200
    assert answer["Content-Disposition"].endswith(f'.{kind}"')
    return answer.content


def lines(raw: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(raw.decode("utf-8-sig"))))


def tags_in(raw: bytes) -> set[str]:
    return {line["Tag"] for line in lines(raw)}


def test_whose_blankets_are_in_it(cast, sign_in) -> None:
    whole = set(Blanket.objects.filter(barn=cast.barn).values_list("tag", flat=True))
    got = {name: tags_in(export(sign_in(person))) for name, person in cast.people.items() if person.barn == cast.barn
           and not person.left_at}  # fmt: skip
    assert got == {
        "manager": whole,
        "staff": whole,
        "staff_owner": whole,
        "owner": {"WRN22", "WNR33", "LNR44"},
        "other_owner": {"THR55", "LSD77"},
        "lessee": set(),
    }


def test_whose_horses_are_in_it(cast, sign_in) -> None:
    names = {
        person: {line["Name"] for line in lines(export(sign_in(getattr(cast, person)), "horses"))}
        for person in ("manager", "owner", "other_owner", "lessee")
    }
    assert names == {
        "manager": {"Bramble", "Cinder", "Dapple", "Ember", "Fern"},
        "owner": {"Bramble"},
        "other_owner": {"Dapple", "Ember"},
        "lessee": {"Ember"},
    }


def test_money_only_for_those_who_may_see_it(cast, sign_in) -> None:
    Blanket.objects.filter(barn=cast.barn).update(price=Decimal("99.50"))
    whole = set(Blanket.objects.filter(barn=cast.barn).values_list("tag", flat=True))
    seen = {
        person: {line["Tag"] for line in lines(export(sign_in(getattr(cast, person)))) if line["Price"]}
        for person in ("manager", "staff", "owner", "staff_owner")
    }
    assert seen == {"manager": whole, "staff": set(), "owner": {"WRN22", "WNR33", "LNR44"}, "staff_owner": {"STF66"}}


@pytest.mark.parametrize("extra", [1, 3])
def test_the_same_number_of_questions_for_any_length(cast, sign_in, extra: int) -> None:
    client = sign_in(cast.manager)
    for _ in range(extra):
        make.BlanketFactory(barn=cast.barn)
        make.HorseFactory(barn=cast.barn)
    for what, count in (("blankets", 5), ("horses", 9)):
        with CaptureQueriesContext(connection) as asked:
            export(client, what)
        assert len(asked) == count, what


RISKY = (
    "=1+1",
    "+1 555",
    "-flat-",
    "@home",
    "'=quoted",
    "''@",
    "＝wide",
    "plain, with; marks\t\"and\" 'more'",
    "Ñandú ½",
)


@pytest.fixture
def odd_barn(cast, tagged: Callable[..., Blanket]):
    """Every kind of value, empty and full, and texts that a spreadsheet program would take for formulas."""
    for text in RISKY:
        tagged(note=text, looks=text, rack=text)
    tagged(size_given="198 cm", size_system=SizeSystem.CM_CHEST_TAIL, size_in=Decimal("78.0"))
    tagged(size_given="145", size_system=SizeSystem.CM_BACK, size_in=None, size_back_cm=145)
    tagged(size_given="6'6", size_system=SizeSystem.FEET_INCHES, size_in=78)
    tagged(size_given="", size_in=Decimal("80.5"))
    tagged(size_given="", size_in=None, size_back_cm=Decimal("135.5"))
    tagged(size_given="", size_in=None)
    tagged(
        owner=cast.owner,
        usual_horse=cast.owners_horse,
        cut="broad",
        fill_g=0,
        denier=None,
        waterproofing="resistant",
        water_head_mm=3000,
        breathable=False,
        lining="fleece",
        front="closed",
        surcingles="belly_band",
        leg_straps=True,
        tail_flap="removable",
        neck="removable",
        gussets=True,
        back_seam=True,
        windproof=False,
        bought_on=date(2025, 10, 4),
        price=Decimal("1234.50"),
        proofed_on=date(2025, 11, 1),
        storage_place="Loft 2",
    )
    for number, text in enumerate(RISKY):
        make.HorseFactory(barn=cast.barn, name=f"{text} {number}"[:60], looks=text, handling_note=text, stall="")
    Horse.objects.filter(pk=cast.owners_horse.pk).update(mass_kg=498.95, chews_own=True, thin=True, feed="free")
    return cast


@pytest.fixture
def tagged(cast) -> Callable[..., Blanket]:
    """A blanket with a tag as our labels have it: the cast's own are shorter to read and would be refused."""
    made = iter(range(100, 1000))
    for blanket in Blanket.objects.filter(barn=cast.barn):
        Blanket.objects.filter(pk=blanket.pk).update(tag=tags.numbered(next(made)))
    return lambda **values: make.BlanketFactory(barn=cast.barn, tag=tags.numbered(next(made)), **values)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("kind", ["csv", "xlsx"])
@pytest.mark.parametrize("what", ["blankets", "horses"])
def test_what_goes_out_comes_in_again_and_changes_nothing(
    odd_barn, sign_in, what: str, kind: str, language: str
) -> None:
    odd_barn.manager.user.language = language
    odd_barn.manager.user.save(update_fields=["language"])
    client = sign_in(odd_barn.manager)
    raw = export(client, what, kind)
    assert send(client, sheets.upload(raw, f"back.{kind}"), what).status_code == 302
    run = ImportRun.objects.latest("pk")
    changed = {line.label: line.changes for line in run.lines.all() if line.changes}
    assert (faults(run), changed, set(fates(run))) == ([], {}, {LineFate.SAME})
    assert len(fates(run)) == (Blanket if what == "blankets" else Horse).objects.filter(barn=odd_barn.barn).count()


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_barn_that_is_emptied_and_filled_again_is_the_same(odd_barn, sign_in, kind: str) -> None:
    """Round trip equal: the blankets of the list, brought in next door, are written out as the same list."""
    raw = export(sign_in(odd_barn.manager), "blankets", kind)
    there = sign_in(odd_barn.stranger)
    make.PersonFactory(barn=odd_barn.other.barn, name="Owner", is_owner=True)
    for name in ("Staff Owner", "Other Owner"):
        make.PersonFactory(barn=odd_barn.other.barn, name=name, is_owner=True)
    for horse in Horse.objects.filter(barn=odd_barn.barn):
        make.HorseFactory(barn=odd_barn.other.barn, name=horse.name)
    answer = there.post(
        reverse("import_send", kwargs={"slug": "next-door", "what": "blankets"}),
        {"once": str(uuid.uuid4()), "file": sheets.upload(raw, f"list.{kind}")},
    )
    assert answer.status_code == 302
    run = ImportRun.objects.get(barn=odd_barn.other.barn)
    good = run.lines.filter(fate=LineFate.NEW).count()
    assert faults(run) == []
    there.post(
        reverse("import_confirm", kwargs={"slug": "next-door", "pk": run.pk}), {"once": str(uuid.uuid4()), "good": good}
    )
    back = lines(there.get(reverse("export_file", args=["next-door", "blankets", "csv"])).content)
    own = lines(export(sign_in(odd_barn.manager)))
    assert [line for line in back if line["Tag"] in {line["Tag"] for line in own}] == own


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_no_cell_begins_like_a_formula(odd_barn, sign_in, kind: str) -> None:
    raw = export(sign_in(odd_barn.manager), "blankets", kind)
    if kind == "csv":
        cells = [cell for row in csv.reader(io.StringIO(raw.decode("utf-8-sig"))) for cell in row]
    else:
        rows = load_workbook(io.BytesIO(raw)).active.iter_rows()
        found = [cell for row in rows for cell in row]
        assert {cell.data_type for cell in found if cell.value is not None} == {"s"}
        cells = [cell.value or "" for cell in found]
    assert [cell for cell in cells if cell[:1] in {"=", "+", "-", "@", "\t", "\r"}] == []
    assert "'=1+1" in cells


def test_a_price_changed_in_the_file_changes_the_price_alone(odd_barn, sign_in) -> None:
    client = sign_in(odd_barn.manager)
    blanket = Blanket.objects.get(barn=odd_barn.barn, price=Decimal("1234.50"))
    raw = export(client).replace(b"1234.50", b"1200")
    send(client, sheets.upload(raw, "back.csv"))
    run = ImportRun.objects.latest("pk")
    confirm(client, run)
    assert run.choices["outcome"]["changed"] == 1
    before = {field.attname: getattr(blanket, field.attname) for field in Blanket._meta.fields if field.name != "price"}
    blanket.refresh_from_db()
    assert {name: getattr(blanket, name) for name in before} == before
    assert blanket.price == 1200


def test_what_is_not_exported_is_not_found(cast, sign_in) -> None:
    client = sign_in(cast.manager)
    assert client.get(reverse("export_file", args=["home", "saddles", "csv"])).status_code == 404
    assert client.get(reverse("export_file", args=["home", "horses", "pdf"])).status_code == 404
