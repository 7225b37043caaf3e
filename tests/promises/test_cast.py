from barnrugs.barns.models import JournalEntry, Person
from tests.cast import Cast


def test_the_cast_stands_in_one_barn_and_the_other_barn_in_another(cast: Cast) -> None:
    assert {person.barn for name, person in cast.people.items() if name != "stranger"} == {cast.barn}
    assert {thing.barn for thing in vars(cast.other).values() if hasattr(thing, "barn")} == {cast.other.barn}
    assert Person.objects.count() == 8
    assert JournalEntry.objects.count() == 2
