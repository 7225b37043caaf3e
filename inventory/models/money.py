from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from barnrugs.barns.models import BarnOwned
from inventory.enums import FeeKind


class FeeRule(BarnOwned):
    """What changing blankets costs an owner, from a day on; the next rule's day ends it."""

    since = models.DateField("from")
    kind = models.CharField(max_length=10, choices=FeeKind, default=FeeKind.PER_CHANGE)
    monthly = models.DecimalField(
        "a month for each horse", max_digits=8, decimal_places=2, default=0, validators=[MinValueValidator(0)]
    )
    per_change = models.DecimalField(
        "for each change", max_digits=8, decimal_places=2, default=0, validators=[MinValueValidator(0)]
    )
    included = models.PositiveSmallIntegerField(
        "changes included for each horse and day", default=2, validators=[MaxValueValidator(50)]
    )

    class Meta:
        ordering: ClassVar = ["-since"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["barn", "since"], name="fee_rule_once_a_day")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} from {self.since}"


class FeeReason(BarnOwned):
    """A reason for a change that has its own price, nothing included: zero means it is never charged."""

    rule = models.ForeignKey(FeeRule, on_delete=models.CASCADE, related_name="reasons")
    words = models.CharField("reason", max_length=80)
    price = models.DecimalField(max_digits=8, decimal_places=2, validators=[MinValueValidator(0)])

    class Meta:
        ordering: ClassVar = ["words"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["rule", "words"], name="fee_reason_once")]

    def __str__(self) -> str:
        return self.words
