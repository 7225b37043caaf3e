"""The one place where a broken database constraint becomes a sentence."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from django.db import IntegrityError, transaction

from barnrugs.barns.domain.refusal import Refused


@contextmanager
def refusing(sentences: Mapping[str, str]) -> Iterator[None]:
    """Runs its block in a savepoint; a constraint named in `sentences` becomes a Refused, any other error stays.

    SQLite names a unique index by its columns and not by its name: give those too, as "table.column, table.column".
    """
    try:
        with transaction.atomic():
            yield
    except IntegrityError as error:
        for name, sentence in sentences.items():
            if name in str(error):
                raise Refused(sentence) from error
        raise
