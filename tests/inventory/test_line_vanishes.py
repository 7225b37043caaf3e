"""A line's page while what it shows goes away between any two of its queries: refused, and never a fault of ours."""

import pytest
from django.db import connection, transaction
from django.urls import reverse

from horses.models import Horse
from inventory.models import Blanket, ChangeList, ListLine, Wearing
from tests.inventory.lists import line_of, make_list

pytestmark = pytest.mark.django_db


class Vanishing:
    """Empties tables just before the nth query, as the flush between two tests does beneath a page still asked for."""

    def __init__(self, nth: int, models: tuple) -> None:
        self.left, self.models, self.count = nth, models, 0

    def __call__(self, execute, sql, params, many, context):
        self.count += 1
        if self.count == self.left:
            with connection.cursor() as cursor:
                for model in self.models:
                    cursor.execute(f"DELETE FROM {model._meta.db_table}")
        return execute(sql, params, many, context)


HORSES = (Horse, Wearing)
ALL = (ListLine, ChangeList, Horse, Wearing, Blanket)


@pytest.mark.parametrize(
    ("page", "models"),
    [("line", HORSES), ("line", ALL), ("line_other", HORSES)],
    ids=["the horse of a line", "all that a line shows", "the horse of its other page"],
)
def test_whatever_vanishes_at_whatever_moment(cast, sign_in, models, page):
    make_list(cast)
    line, client = line_of(cast), sign_in(cast.staff)
    address = reverse(page, args=["home", line.pk if page.startswith("line") else line.horse_id])
    nth, asked = 0, 1
    while nth < asked:
        nth += 1
        vanishing = Vanishing(nth, models)
        with transaction.atomic():
            with connection.execute_wrapper(vanishing):
                answer = client.get(address)
            asked = vanishing.count
            transaction.set_rollback(True)
        assert answer.status_code in {200, 403, 404}, nth
    assert nth > 5
