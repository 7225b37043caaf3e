"""Sending a form as a browser does, each time with a number of its own, or again with the same."""

import uuid
from collections.abc import Iterable
from typing import Any

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from barnrugs.barns.models import JournalEntry
from inventory.models import Batch, BatchLine, CareJob, CareMove, FeeRule, MailChoice, Placing, Wearing

ALL = (JournalEntry, CareJob, CareMove, Batch, BatchLine, FeeRule, MailChoice, Placing, Wearing)


def address(name: str, *args: Any) -> str:
    return reverse(name, args=["home", *args])


def send(client: Client, url: str, *, once: uuid.UUID | None = None, **data: Any) -> HttpResponse:
    return client.post(url, {"once": str(once or uuid.uuid4()), **data})


def records(models: Iterable[Any] = ALL) -> dict[str, int]:
    """How many records there are of each kind: what a refused write must leave as it was."""
    return {model.__name__: model.objects.count() for model in models}
