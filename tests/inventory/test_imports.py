"""Bringing lists in through the pages: each write works, refuses a bad form, keeps others out, happens once."""

import uuid
from datetime import date
from decimal import Decimal

import pytest
from django.db import IntegrityError, connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry
from horses.models import Condition, Horse, HorseOwner, Measurement
from inventory import pace, tags
from inventory.domain import import_write
from inventory.domain import imports as domain
from inventory.enums import ImportStep, ImportWhat, LineFate
from inventory.models import Blanket, ImportLine, ImportRun, ImportWord
from tests import factories as make
from tests.inventory import sheets

pytestmark = pytest.mark.django_db
HEAD = ["Tag", "Kind", "Size", "Fill", "Waterproof", "Price", "Owner"]
GOOD = ["", "Turnout", "78", "200 g", "yes", "120", "Owner"]


def url(name, run=None, **parts):
    return reverse(name, kwargs={"slug": "home", **({"pk": run.pk} if run else {}), **parts})


def send(client, file, what="blankets", once=None):
    return client.post(url("import_send", what=what), {"once": str(once or uuid.uuid4()), "file": file})


def post(client, name, run, **fields):
    return client.post(url(name, run), {"once": str(uuid.uuid4()), **fields})


def sent(client, rows, what="blankets", **how):
    answer = send(client, sheets.csv_file(rows, **how), what)
    assert answer.status_code == 302, answer.context["form"].errors
    return ImportRun.objects.latest("pk")


def fates(run):
    return list(run.lines.filter(number__gt=run.choices["heading"]).values_list("fate", flat=True))


def faults(run):
    return [(line.number, *fault[:2]) for line in run.lines.all() for fault in line.faults]


def confirm(client, run):
    good = sum(fate in {"new", "change"} for fate in fates(run))
    answer = post(client, "import_confirm", run, good=good)
    run.refresh_from_db()
    return answer


def named(run, **choices):
    """The columns form as the page shows it."""
    columns = {f"column_{told['place']}": told["field"] or "-" for told in run.columns}
    usual = {"existing": "change", "size_system": "in", "date_order": "ask", "twins": "ask", "turnouts": "ask"}
    return {"heading": run.choices["heading"], **usual, **columns, **choices}


@pytest.fixture
def manager(cast, sign_in):
    return sign_in(cast.manager)


def test_blankets_come_in_after_a_look(cast, manager):
    before = Blanket.objects.count()
    run = sent(manager, [HEAD, GOOD, ["", "stable rug", "6'6", "0", "", "", ""]])
    assert fates(run) == [LineFate.NEW, LineFate.NEW]
    assert Blanket.objects.count() == before
    confirm(manager, run)
    assert run.step == ImportStep.FINISHED
    turnout, stable = Blanket.objects.order_by("-pk")[:2][::-1]
    assert (turnout.kind, turnout.size_in, turnout.fill_g, turnout.waterproofing) == ("turnout", 78, 200, "waterproof")
    assert (turnout.price, turnout.owner, turnout.barn) == (Decimal(120), cast.owner, cast.barn)
    assert (stable.kind, stable.size_in, stable.size_given, stable.owner) == ("stable", 78, "6'6", None)
    assert tags.is_tag(turnout.tag)
    assert turnout.tag != stable.tag


def test_each_line_has_one_journal_entry_under_one_import_key(cast, manager):
    run = sent(manager, [HEAD, GOOD, [*GOOD[:2], "81", *GOOD[3:]]])
    confirm(manager, run)
    entries = JournalEntry.objects.filter(import_key=run.key, action="blanket_added")
    assert entries.count() == 2
    assert {entry.person_key for entry in entries} == {cast.manager.key}
    assert sorted(entry.after["size_given"] for entry in entries) == ["78", "81"]
    assert {entry.subjects.get().kind for entry in entries} == {"blanket"}


def test_horses_come_in_with_what_is_noted_of_them(cast, manager):
    rows = [
        ["Horse", "Box", "Owner", "Field", "Born", "Weight", "Size", "BCS", "Clipped", "Head-shy", "Measured on"],
        [
            "Example Clover",
            "12",
            "Owner; Other Owner",
            "home field",
            2014,
            "1100 lb",
            "6'6",
            4.5,
            "trace",
            "x",
            "2026-01-05",
        ],
    ]
    run = sent(manager, rows, "horses")
    assert (fates(run), faults(run)) == ([LineFate.NEW], [])
    confirm(manager, run)
    horse = Horse.objects.get(name="Example Clover")
    assert (horse.stall, horse.birth_year, horse.mass_kg, horse.head_shy) == ("12", 2014, 499.0, True)
    assert horse.walk_order > cast.barn_horse.walk_order
    measured = Measurement.objects.get(horse=horse)
    assert (measured.given, measured.chest_to_tail_cm, measured.on) == ("6'6", Decimal("198.1"), date(2026, 1, 5))
    assert Condition.objects.get(horse=horse).score == Decimal("4.5")
    assert horse.coats.get().clip == "trace"
    assert horse.stays.get().paddock == cast.paddock
    assert set(HorseOwner.objects.filter(horse=horse).values_list("person", flat=True)) == {
        cast.owner.pk,
        cast.other_owner.pk,
    }
    entry = JournalEntry.objects.get(import_key=run.key, action="horse_added")
    assert entry.after["clip"] == "trace"


def test_a_changed_mass_is_shown_in_the_barns_units(cast, manager):
    Horse.objects.filter(pk=cast.owners_horse.pk).update(mass_kg=500)
    run = sent(manager, [["Horse", "Weight"], ["Bramble", "1050"]], "horses")
    page = manager.get(url("import_run", run)).content.decode()
    assert ("1102 lb" in page, "1050 lb" in page, "476" in page) == (True, True, False)


def test_a_list_under_a_pictures_name_is_refused(cast, manager):
    answer = send(manager, sheets.csv_file([["Tag", "Kind"], ["AAA22", "turnout"]], name="Rack.JPG"))
    said = "“Rack.JPG” has the name of a picture. Send an Excel workbook (.xlsx) or a CSV file."
    assert answer.context["form"].errors["file"] == [said]
    assert not ImportRun.objects.exists()


def test_every_fault_is_named_by_line_and_column_and_the_rest_can_come_in(cast, manager):
    rows = [
        HEAD,
        GOOD,
        ["", "Turnout", "12", "medium", "perhaps", "free", "Nobody"],
        ["OOOOO", "Saddle", "6.5 ft 99", "2000", "", "-5", ""],
        ["", "", "78", "200", "yes", "", ""],
    ]
    run = sent(manager, rows)
    assert fates(run) == [LineFate.NEW, LineFate.FAULTY, LineFate.FAULTY, LineFate.FAULTY]
    found = {(number, place) for number, place, _sentence in faults(run)}
    assert {(3, 2), (3, 3), (3, 4), (3, 5), (3, 6), (4, 0), (4, 1), (4, 3), (4, 5), (5, 1)} <= found
    page = manager.get(url("import_run", run))
    for words in ("Line 3", "column D, Fill", "“medium” is a word: how many grams is it?", "column F, Price"):
        assert words in page.content.decode()
    before = Blanket.objects.count()
    confirm(manager, run)
    assert Blanket.objects.count() == before + 1
    assert run.choices["outcome"] == {"added": 1, "changed": 0, "refused": 0, "same": 0, "faulty": 3}


def test_a_word_is_asked_once_and_remembered(cast, manager):
    rows = [HEAD, ["", "Turnout", "78", "medium", "yes", "", "Mrs O."], ["", "Turnout", "81", "Medium", "yes", "", ""]]
    run = sent(manager, rows)
    assert fates(run) == [LineFate.FAULTY, LineFate.FAULTY]
    page = manager.get(url("import_run", run))
    fields = {pair: name for name, pair in page.context["words"].asked.items()}
    assert set(fields) == {("fill_g", "medium"), ("owner", "mrs o")}
    answers = {fields["fill_g", "medium"]: "200g", fields["owner", "mrs o"]: f"#{cast.owner.pk}"}
    assert post(manager, "import_words", run, **answers).status_code == 302
    assert fates(run) == [LineFate.NEW, LineFate.NEW]
    again = sent(manager, [HEAD, ["", "Stable", "75", "MEDIUM", "", "", "Mrs. O"]])
    confirm(manager, again)
    blanket = Blanket.objects.latest("pk")
    assert (blanket.fill_g, blanket.owner) == (200, cast.owner)


def test_a_word_explained_wrongly_is_explained_again_or_forgotten(cast, manager):
    run = sent(manager, [HEAD, ["", "Turnout", "78", "medium", "yes", "", ""]])
    (name,) = manager.get(url("import_run", run)).context["words"].asked
    post(manager, "import_words", run, **{name: "20"})
    page = manager.get(url("import_run", run))
    assert [field.name for field in page.context["explained"]] == [name]
    post(manager, "import_words", run, **{name: "200"})
    assert ImportWord.objects.get().meaning == "200"
    post(manager, "import_words", run, **{name: ""})
    assert (ImportWord.objects.count(), fates(run)) == (0, [LineFate.FAULTY])
    assert post(manager, "import_words", run, **{name: ""}).status_code == 400


def test_a_bad_answer_keeps_what_was_typed(cast, manager):
    run = sent(manager, [HEAD, ["", "Turnout", "78", "medium", "yes", "", ""]])
    (name,) = manager.get(url("import_run", run)).context["words"].asked
    answer = post(manager, "import_words", run, **{name: "warm enough"})
    assert answer.status_code == 400
    assert b'value="warm enough"' in answer.content
    assert not ImportWord.objects.exists()


def test_unknown_columns_are_named_by_hand_and_remembered(cast, manager):
    rows = [["Etikett", "Rug", "Inches", "Oomph", "Hung"], ["", "Liner", "78", "100", "Aisle B"]]
    run = sent(manager, rows)
    assert [told["field"] for told in run.columns] == [None, "kind", None, None, None]
    assert confirm(manager, run).status_code == 302
    assert run.step == ImportStep.ASKING
    fields = named(run, column_0="-", column_2="size", column_3="fill_g", column_4="rack")
    assert post(manager, "import_columns", run, **fields).status_code == 302
    assert fates(run) == [LineFate.NEW]
    confirm(manager, run)
    assert Blanket.objects.latest("pk").rack == "Aisle B"
    again = sent(manager, rows)
    assert [told["field"] for told in again.columns] == ["", "kind", "size", "fill_g", "rack"]


def test_two_columns_for_the_same_and_undecided_ones_are_refused(cast, manager):
    run = sent(manager, [["Kind", "Oomph", "Warmth"], ["Liner", "100", "100"]])
    for fields in (named(run, column_1="fill_g"), named(run, column_1="?")):
        answer = post(manager, "import_columns", run, **fields)
        assert answer.status_code == 400
        assert answer.context["form"].errors
    run.refresh_from_db()
    assert run.columns[1]["field"] is None


def test_the_headings_may_stand_in_another_line(cast, manager):
    rows = [["Our rugs", "winter"], ["Kind", "Size"], ["Liner", "78"], ["Kind", "Fill"], ["Liner", "100"]]
    run = sent(manager, rows)
    assert run.choices["heading"] == 2
    post(manager, "import_columns", run, **named(run, heading=4))
    run.refresh_from_db()
    assert ([told["field"] for told in run.columns], run.line_count) == (["kind", "fill_g"], 1)
    answer = post(manager, "import_columns", run, **named(run, heading=99))
    assert answer.status_code == 400


def test_a_tag_that_is_here_changes_that_blanket_or_is_refused(cast, manager):
    tag = tags.numbered(77)
    blanket = make.BlanketFactory(barn=cast.barn, tag=tag, price=Decimal(80), rack="Old rack")
    rows = [["Tag", "Kind", "Fill", "Price", "Rack"], [tag.lower(), "", "300", "85", ""]]
    run = sent(manager, rows)
    assert fates(run) == [LineFate.CHANGE]
    page = manager.get(url("import_run", run)).content.decode()
    assert "Changes 2 fields:" in page
    assert "Price from 80.00 to 85.00" in page
    post(manager, "import_columns", run, **named(run, existing="refuse"))
    assert fates(run) == [LineFate.FAULTY]
    post(manager, "import_columns", run, **named(run))
    confirm(manager, run)
    blanket.refresh_from_db()
    assert (blanket.fill_g, blanket.price, blanket.rack, blanket.kind) == (300, 85, "Old rack", "turnout")
    entry = JournalEntry.objects.get(import_key=run.key, action="blanket_changed")
    assert (entry.before, entry.after) == ({"fill_g": 200, "price": "80.00"}, {"fill_g": 300, "price": "85.00"})


def test_a_free_tag_is_kept_and_one_of_another_barn_is_free(cast, manager):
    tag = tags.numbered(5)
    make.BlanketFactory(barn=cast.other.barn, tag=tag)
    run = sent(manager, [["Tag", *HEAD[1:]], [tag, *GOOD[1:]]])
    confirm(manager, run)
    assert Blanket.objects.get(barn=cast.barn, tag=tag).fill_g == 200


def test_lines_that_say_the_same_twice(cast, manager):
    tag = tags.numbered(9)
    rows = [HEAD, GOOD, GOOD, [tag, *GOOD[1:]], [tag, *GOOD[1:]], [tag, "Liner", *GOOD[2:]]]
    run = sent(manager, rows)
    assert fates(run) == [LineFate.NEW, LineFate.FAULTY, LineFate.NEW, LineFate.SAME, LineFate.FAULTY]
    assert [number for number, *_ in faults(run)] == [3, 6]
    post(manager, "import_columns", run, **named(run, twins="each"))
    assert fates(run) == [LineFate.NEW, LineFate.NEW, LineFate.NEW, LineFate.SAME, LineFate.FAULTY]
    post(manager, "import_columns", run, **named(run, twins="skip"))
    assert fates(run) == [LineFate.NEW, LineFate.SAME, LineFate.NEW, LineFate.SAME, LineFate.FAULTY]


def test_no_turnout_is_taken_for_waterproof_without_a_word(cast, manager):
    run = sent(manager, [["Kind", "Fill"], ["Turnout", "200"]])
    assert fates(run) == [LineFate.FAULTY]
    post(manager, "import_columns", run, **named(run, turnouts="resistant"))
    confirm(manager, run)
    assert Blanket.objects.latest("pk").waterproofing == "resistant"


def test_what_somebody_else_changed_meanwhile_is_not_overwritten(cast, manager):
    tag, new = tags.numbered(77), tags.numbered(78)
    blanket = make.BlanketFactory(barn=cast.barn, tag=tag, price=Decimal(80))
    run = sent(
        manager, [["Tag", "Kind", "Fill", "Price", "Waterproof"], [tag, "", "", "85", ""], [new, "Liner", "0", "", ""]]
    )
    blanket.price = Decimal(90)
    blanket.save(update_fields=["price"])
    make.BlanketFactory(barn=cast.barn, tag=new)
    confirm(manager, run)
    assert fates(run) == [LineFate.REFUSED, LineFate.REFUSED]
    blanket.refresh_from_db()
    assert blanket.price == 90
    assert "Somebody else has changed this meanwhile" in manager.get(url("import_run", run)).content.decode()


def test_the_same_file_sent_again_under_its_number_is_one_list(cast, manager):
    once = uuid.uuid4()
    answers = [send(manager, sheets.csv_file([HEAD, GOOD]), once=once) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert ImportRun.objects.count() == 1
    assert ImportLine.objects.count() == 2
    other = send(manager, sheets.csv_file([HEAD, GOOD, GOOD]), once=once)
    assert other.status_code == 422


def test_a_confirmation_sent_again_does_nothing(cast, manager):
    run = sent(manager, [HEAD, GOOD])
    fields = {"once": str(uuid.uuid4()), "good": 1}
    for _ in range(2):
        assert manager.post(url("import_confirm", run), fields).status_code == 302
    confirm(manager, run)
    assert JournalEntry.objects.filter(import_key=run.key, action="blanket_added").count() == 1


def test_only_what_was_seen_is_confirmed(cast, manager):
    run = sent(manager, [HEAD, GOOD])
    post(manager, "import_confirm", run, good=5)
    run.refresh_from_db()
    assert run.step == ImportStep.ASKING


def test_a_dropped_list_leaves_nothing(cast, manager):
    run = sent(manager, [HEAD, GOOD])
    before = Blanket.objects.count()
    fields = {"once": str(uuid.uuid4())}
    for _ in range(2):
        assert manager.post(url("import_drop", run), fields).status_code == 302
    run.refresh_from_db()
    assert (run.step, run.lines.count(), Blanket.objects.count()) == (ImportStep.DROPPED, 0, before)
    assert manager.get(url("import_run", run)).status_code == 404
    assert JournalEntry.objects.filter(action="import_dropped").count() == 1


@pytest.mark.parametrize("role", ["staff", "owner", "staff_owner", "other_owner", "lessee", "stranger"])
def test_nobody_but_a_manager_brings_lists_in(cast, sign_in, manager, role):
    run = sent(manager, [HEAD, GOOD])
    client = sign_in(getattr(cast, role))
    assert send(client, sheets.csv_file([HEAD, GOOD])).status_code == (404 if role == "stranger" else 403)
    for name in ("import_confirm", "import_words", "import_columns", "import_drop", "import_go_on"):
        assert post(client, name, run, good=1).status_code == 404
    assert client.get(url("import_run", run)).status_code == 404
    run.refresh_from_db()
    assert run.step == ImportStep.ASKING


def test_a_list_of_another_barn_names_nobody_of_this_one(cast, sign_in, manager):
    """The stranger manages the barn next door: people, horses and tags here are unknown there."""
    stranger = sign_in(cast.stranger)
    there = reverse("import_send", kwargs={"slug": "next-door", "what": "blankets"})
    rows = [["Tag", "Kind", "Fill", "Owner", "Horse"], ["", "Liner", "0", "Owner", "Bramble"]]
    stranger.post(there, {"once": str(uuid.uuid4()), "file": sheets.csv_file(rows)})
    run = ImportRun.objects.get(barn=cast.other.barn)
    assert {place for _number, place, _sentence in faults(run)} == {3, 4}
    words = reverse("import_words", kwargs={"slug": "next-door", "pk": run.pk})
    page = stranger.get(reverse("import_run", kwargs={"slug": "next-door", "pk": run.pk}))
    fields = {pair: name for name, pair in page.context["words"].asked.items()}
    answer = stranger.post(words, {"once": str(uuid.uuid4()), fields["owner", "owner"]: f"#{cast.owner.pk}"})
    assert answer.status_code == 400
    assert manager.get(url("import_run", run)).status_code == 404


@pytest.mark.parametrize("lines", [1, 3])
def test_the_pages_ask_the_same_number_of_questions_for_any_list(cast, manager, lines):
    rows = [[f"Example {number}", "medium rare"] for number in range(lines)]
    runs = [sent(manager, [["Name", "Build"], *rows], "horses") for _ in range(lines)]
    with CaptureQueriesContext(connection) as asked:
        assert manager.get(url("import_run", runs[0])).status_code == 200
    assert len(asked) == 14
    with CaptureQueriesContext(connection) as asked:
        assert manager.get(url("imports")).status_code == 200
    assert len(asked) == 5


def test_templates_are_lists_that_can_be_brought_in(cast, manager):
    for what in ImportWhat.values:
        for kind in ("csv", "xlsx"):
            answer = manager.get(url("import_template", what=what, kind=kind))
            assert answer.status_code == 200
            run_answer = send(manager, sheets.upload(answer.content, f"template.{kind}"), what)
            assert run_answer.status_code == 302
            run = ImportRun.objects.latest("pk")
            assert all(told["field"] for told in run.columns)
            assert (fates(run), faults(run)) == ([LineFate.NEW, LineFate.NEW], [])
    assert manager.get(url("import_template", what="saddles", kind="csv")).status_code == 404
    assert manager.get(url("import_template", what="horses", kind="pdf")).status_code == 404


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_an_interrupted_list_goes_on_where_it_was(cast, manager, kind, monkeypatch):
    """The power fails in the second chunk: the first stands, the second left no trace, and all come in once."""
    rows = [HEAD, *([*GOOD[:2], str(60 + number), *GOOD[3:]] for number in range(7))]
    file = sheets.csv_file(rows) if kind == "csv" else sheets.xlsx_file(rows)
    send(manager, file)
    run = ImportRun.objects.latest("pk")
    before = Blanket.objects.count()
    monkeypatch.setattr(domain, "WRITTEN", 3)
    domain.confirm(run, good=7, actor=_actor(cast))
    domain.write_chunk(run, now=_actor(cast).now)
    assert Blanket.objects.count() == before + 3

    def power_fails(*_, **__):
        raise RuntimeError("power cut")

    with monkeypatch.context() as patched:
        patched.setattr(import_write, "save_lines", power_fails)
        with pytest.raises(RuntimeError):
            domain.write_chunk(run, now=_actor(cast).now)
    assert Blanket.objects.count() == before + 3
    assert manager.post(url("import_go_on", run)).status_code == 302
    run.refresh_from_db()
    assert (run.step, Blanket.objects.count()) == (ImportStep.FINISHED, before + 7)
    assert sorted(Blanket.objects.order_by("-pk").values_list("size_given", flat=True)[:7]) == [
        str(60 + number) for number in range(7)
    ]
    manager.post(url("import_go_on", run))
    assert Blanket.objects.count() == before + 7


def test_the_page_asks_for_the_next_chunk_by_itself(cast, manager, monkeypatch):
    monkeypatch.setattr(domain, "WRITTEN", 2)
    monkeypatch.setattr(pace, "STEP", 0)
    run = sent(manager, [HEAD, *([*GOOD[:2], str(60 + number), *GOOD[3:]] for number in range(3))])
    domain.confirm(run, good=3, actor=_actor(cast))
    page = manager.get(url("import_run", run)).content.decode()
    assert 'hx-trigger="load delay:200ms"' in page
    assert "0 of 3 lines" in page
    first = manager.post(url("import_go_on", run), headers={"HX-Request": "true"})
    assert (first.status_code, b"2 of 3 lines" in first.content) == (200, True)
    last = manager.post(url("import_go_on", run), headers={"HX-Request": "true"})
    assert (last.status_code, last.headers["HX-Redirect"]) == (204, url("import_run", run))


def test_a_list_waits_when_its_manager_is_none_any_more(cast, manager, sign_in):
    run = sent(manager, [HEAD, GOOD])
    domain.confirm(run, good=1, actor=_actor(cast))
    cast.manager.is_manager, cast.manager.is_staff = False, True
    cast.manager.save(update_fields=["is_manager", "is_staff"])
    cast.staff.is_manager = True
    cast.staff.save(update_fields=["is_manager"])
    answer = sign_in(cast.staff).post(url("import_go_on", run), headers={"HX-Request": "true"})
    assert b"Manager is no manager any more." in answer.content
    run.refresh_from_db()
    assert run.step == ImportStep.WRITING


def test_lines_are_forgotten_after_a_month(cast, manager):
    run = sent(manager, [HEAD, GOOD])
    domain.forget_old(cast.barn, run.begun_at + domain.KEPT)
    assert run.lines.count() == 2
    domain.forget_old(cast.barn, run.begun_at + domain.KEPT * 1.01)
    run.refresh_from_db()
    assert (run.lines.count(), run.step) == (0, ImportStep.DROPPED)


def _actor(cast):
    return Actor(cast.manager)


def test_a_day_of_long_ago_is_a_slip_of_the_pen(cast, manager):
    run = sent(
        manager, [["Kind", "Size", "Fill", "Waterproof", "Bought on"], ["Turnout", "78", "200", "yes", "0202-10-01"]]
    )
    assert fates(run) == [LineFate.FAULTY]
    assert "0202-10-01 is no day from 1990 to 2199." in str(faults(run))


def test_lines_written_one_by_one_are_journaled_as_they_were_before(cast, manager, monkeypatch):
    """The database refuses one change: all are undone, and the others are written a second time."""
    changed, barred = (make.BlanketFactory(barn=cast.barn, tag=tags.numbered(n), price=Decimal(80)) for n in (77, 78))
    run = sent(manager, [["Tag", "Price"], [changed.tag, "85"], [barred.tag, "86"]])
    assert fates(run) == [LineFate.CHANGE, LineFate.CHANGE]
    save = Blanket.save

    def refuse(blanket, **how):
        if blanket.pk == barred.pk:
            raise IntegrityError
        save(blanket, **how)

    monkeypatch.setattr(Blanket, "save", refuse)
    confirm(manager, run)
    assert fates(run) == [LineFate.CHANGED, LineFate.REFUSED]
    entry = JournalEntry.objects.get(import_key=run.key, action="blanket_changed")
    assert (entry.before, entry.after) == ({"price": "80.00"}, {"price": "85.00"})


def test_who_becomes_an_owner_by_a_list_is_named_in_its_entry(cast, manager):
    run = sent(manager, [["Horse", "Owner"], ["Example Clover", "Staff; Lessee"], ["Fern", "Manager"]], "horses")
    confirm(manager, run)
    assert fates(run) == [LineFate.ADDED, LineFate.CHANGED]
    entries = JournalEntry.objects.filter(import_key=run.key, action__startswith="horse")
    told = {entry.action: entry.after.get("became_owner") for entry in entries}
    assert told == {"horse_added": "Staff", "horse_list_noted": "Manager"}
    cast.staff.refresh_from_db()
    assert cast.staff.is_owner


def test_the_labels_of_what_came_in_are_offered_and_no_others(cast, sign_in):
    client = sign_in(cast.manager)
    run = sent(client, [HEAD, GOOD, ["WNR33", "Turnout", "78", "250 g", "yes", "120", "Owner"]])
    confirm(client, run)
    added = list(ImportLine.objects.filter(run=run, fate=LineFate.ADDED).values_list("record_id", flat=True))
    page = client.get(url("import_run", run)).content.decode()
    link = f"{reverse('tags', args=['home'])}?run={run.pk}"
    assert f'href="{link}"' in page
    assert [row.blanket.pk for row in client.get(link).context["rows"]] == added
    assert len(added) == 1


def test_the_labels_of_a_run_that_one_may_not_see_are_404(cast, sign_in):
    run = sent(sign_in(cast.manager), [HEAD, GOOD])
    link = f"{reverse('tags', args=['home'])}?run={run.pk}"
    assert sign_in(cast.other_owner).get(link).status_code == 404


def test_the_horses_of_a_run_are_not_taken_for_blankets(cast, sign_in):
    client = sign_in(cast.manager)
    run = sent(client, [["Horse", "Owner"], ["Example Clover", "Staff"]], "horses")
    confirm(client, run)
    assert fates(run) == [LineFate.ADDED]
    assert client.get(f"{reverse('tags', args=['home'])}?run={run.pk}").status_code == 404
