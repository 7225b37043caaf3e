"""Promise 3: the journal keeps what was written, for good, and only in the transaction of its change."""

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.models import ForeignKey

from barnrugs.barns import journal, triggers
from barnrugs.barns.journal import UnknownAction
from barnrugs.barns.models import JournalEntry, JournalSubject
from tests import factories as make
from tests.cast import Cast

TABLES = (JournalEntry, JournalSubject)
REFUSED = pytest.mark.parametrize("model", TABLES, ids=lambda model: model.__name__)


@pytest.fixture
def subject(db: None) -> JournalSubject:
    return make.JournalSubjectFactory()


def contents() -> list[list[dict[str, object]]]:
    return [list(model.objects.values()) for model in TABLES]


def sql(statement: str) -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


@REFUSED
@pytest.mark.parametrize("statement", ["UPDATE {table} SET id = id", "DELETE FROM {table}"])
def test_no_statement_changes_what_was_written(model: type, statement: str, subject: JournalSubject) -> None:
    before = contents()
    with pytest.raises(IntegrityError, match=triggers.REFUSED):
        sql(statement.format(table=model._meta.db_table))
    assert contents() == before


@pytest.mark.django_db(transaction=True)
@REFUSED
def test_no_table_of_the_journal_is_emptied(model: type) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("SQLite has no TRUNCATE; its DELETE is tested above")
    make.JournalSubjectFactory()
    before = contents()
    with pytest.raises(IntegrityError, match=triggers.REFUSED):
        sql(f"TRUNCATE {model._meta.db_table} CASCADE")
    assert contents() == before


def test_the_programme_itself_cannot_change_an_entry(subject: JournalSubject) -> None:
    subject.entry.why = "something else"
    with pytest.raises(IntegrityError, match=triggers.REFUSED), transaction.atomic():
        subject.entry.save()
    with pytest.raises(IntegrityError, match=triggers.REFUSED), transaction.atomic():
        JournalSubject.objects.filter(pk=subject.pk).delete()


@REFUSED
def test_no_key_of_the_journal_is_ever_set_to_nothing(model: type) -> None:
    """A key with SET_NULL is an UPDATE, which the triggers refuse: the journal names people by their opaque key."""
    keys = {field.name: field.null for field in model._meta.get_fields() if isinstance(field, ForeignKey)}
    assert keys == {JournalEntry: {"barn": False}, JournalSubject: {"entry": False}}[model]


@pytest.mark.django_db(transaction=True)
def test_an_entry_belongs_in_the_transaction_of_its_change(cast: Cast, act) -> None:
    with pytest.raises(transaction.TransactionManagementError):
        journal.write(act(cast.manager), "barn_made", about=[cast.barn])
    assert set(JournalEntry.objects.all()) == {cast.entry, cast.other.entry}


def test_an_unknown_action_is_an_error(cast: Cast, act) -> None:
    with pytest.raises(UnknownAction):
        journal.write(act(cast.manager), "never_heard_of", about=[cast.barn])


def test_one_entry_shows_on_everything_it_is_about_by_its_label(cast: Cast, act) -> None:
    about = [cast.owners_horse, cast.worn, cast.owner, cast.barn]
    entry = journal.write(act(cast.manager, device=cast.phone), "barn_made", about=[*about, cast.worn], why="test")
    assert {(s.kind, s.subject_id, s.label) for s in entry.subjects.all()} == {
        ("horse", cast.owners_horse.pk, "Bramble"),
        ("blanket", cast.worn.pk, "WRN22"),
        ("person", cast.owner.pk, "Owner"),
        ("barn", cast.barn.pk, "Home Barn"),
    }
    assert (entry.person_key, entry.device_key, entry.why) == (cast.manager.key, cast.phone.key, "test")


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("turn", [1, 2])
def test_the_flush_between_tests_empties_the_journal_and_puts_the_triggers_back(turn: int) -> None:
    assert contents() == [[], []]
    assert triggers.missing(connection) == set()
    make.JournalSubjectFactory()
