"""Promise 1 held by the database itself, without the domain's help."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from inventory.models import Wearing
from tests import factories as make
from tests.cast import NOW, Cast

HOUR = timedelta(hours=1)


def refused_by(constraint: str, columns: str) -> pytest.RaisesExc[IntegrityError]:
    """PostgreSQL names the constraint, SQLite the columns of a unique index."""
    return pytest.raises(IntegrityError, match=f"{constraint}|{columns}")


def wear(cast: Cast, **how: object) -> Wearing:
    with transaction.atomic():
        return make.WearingFactory(**{"blanket": cast.worn, "horse": cast.barn_horse, "on_by": cast.staff, **how})


def test_a_blanket_has_one_open_wearing(cast: Cast) -> None:
    with refused_by("blanket_on_one_horse", "UNIQUE constraint failed: inventory_wearing.blanket_id$"):
        wear(cast)
    assert cast.worn.wearings.get() == cast.wearing


def test_a_horse_wears_one_blanket_a_layer(cast: Cast) -> None:
    with refused_by("horse_one_blanket_a_layer", "inventory_wearing.horse_id, inventory_wearing.layer"):
        wear(cast, blanket=cast.barn_blanket, horse=cast.owners_horse)
    over = wear(cast, blanket=cast.barn_blanket, horse=cast.owners_horse, layer=2)
    assert set(cast.owners_horse.wearings.all()) == {cast.wearing, over}


def test_past_wearings_may_overlap(cast: Cast) -> None:
    """Late entries from a phone without signal: both are kept."""
    late = [
        wear(cast, horse=horse, on_at=NOW - 2 * HOUR, off_at=NOW - HOUR, off_by=cast.staff, overlaps=True)
        for horse in (cast.barn_horse, cast.other_horse)
    ]
    assert set(cast.worn.wearings.all()) == {cast.wearing, *late}


@pytest.mark.parametrize(
    ("how", "constraint"),
    [
        ({"off_at": NOW}, "wearing_off_names_who"),
        ({"off_by": "staff"}, "wearing_off_names_who"),
        ({"on_at": NOW, "off_at": NOW - HOUR, "off_by": "staff"}, "wearing_ends_after_it_began"),
        ({"layer": 0}, "wearing_layer_in_range"),
        ({"layer": 5}, "wearing_layer_in_range"),
    ],
)
def test_no_wearing_contradicts_itself(cast: Cast, how: dict[str, object], constraint: str) -> None:
    given = {name: getattr(cast, value) if value == "staff" else value for name, value in how.items()}
    with pytest.raises(IntegrityError, match=constraint):
        wear(cast, blanket=cast.barn_blanket, **given)
    assert not cast.barn_blanket.wearings.exists()
