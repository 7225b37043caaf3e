"""manage.py forget_sent, as cron runs it."""

import io
import uuid
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from barnrugs.barns.models import SentWrite

pytestmark = pytest.mark.django_db


def run():
    out = io.StringIO()
    call_command("forget_sent", stdout=out)
    return out.getvalue()


def test_what_was_sent_ninety_days_ago_is_forgotten_once(cast):
    for days in (0, 89, 91, 400):
        at = timezone.now() - timedelta(days=days)
        SentWrite.objects.create(barn=cast.barn, sender_key=cast.staff.key, once=uuid.uuid4(), digest="a" * 64, at=at)
    assert run() == "2 sent writes forgotten\n"
    assert run() == "0 sent writes forgotten\n"
    assert min(SentWrite.objects.values_list("at", flat=True)) > timezone.now() - timedelta(days=90)
