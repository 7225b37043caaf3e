"""The flush between transactional tests empties every table, which the journal's triggers refuse: lift them for it."""

from collections.abc import Iterator

import pytest
from django.db import connections
from django.test import TransactionTestCase

from barnrugs.barns import triggers


@pytest.fixture(autouse=True, scope="session")
def flush_without_triggers() -> Iterator[None]:
    flush = TransactionTestCase._fixture_teardown

    def lifted(case: TransactionTestCase) -> None:
        connection = connections["default"]
        with triggers.lifted(connection):
            flush(case)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", lifted)
        yield
