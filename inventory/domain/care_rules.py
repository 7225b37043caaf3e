"""The house's rules for care."""

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from inventory.models import CareRules


@transaction.atomic
def set_rules(barn: Barn, *, values: Mapping[str, Any], seen: Mapping[str, Any], actor: Actor) -> CareRules:
    """Sets the rules; a barn that had the defaults gets its row now."""
    Barn.objects.select_for_update().get(pk=barn.pk)
    record, _ = CareRules.objects.get_or_create(barn=barn)
    edited = editing.edit(record, values=values, seen=seen)
    journal.write(actor, "care_rules_changed", about=[barn], before=edited.before, after=edited.after)
    return edited.record
