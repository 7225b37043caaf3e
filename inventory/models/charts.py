from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from barnrugs.barns.models import BarnOwned
from horses.models import Horse
from inventory.enums import ChartFill, ChartPlace, ChartWet, Override


class Chart(BarnOwned):
    """What a keeper wants worn in which weather: a horse's own chart, by its owner, or the house chart (no horse)."""

    horse = models.ForeignKey(Horse, null=True, blank=True, on_delete=models.PROTECT, related_name="charts")
    feels_like = models.BooleanField("temperatures are feels-like, not air", default=False)
    tolerance_c = models.FloatField(
        "how near an edge the next line is as good", default=0, validators=[MinValueValidator(0), MaxValueValidator(5)]
    )
    override = models.CharField("who may do otherwise", max_length=8, choices=Override, default=Override.STAFF)
    note = models.CharField(max_length=300, blank=True)
    read_again = models.BooleanField("to be read again, after a clip", default=False)
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["-since", "-pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["horse"], condition=Q(until__isnull=True, horse__isnull=False), name="chart_one_a_horse"
            ),
            models.UniqueConstraint(
                fields=["barn"], condition=Q(until__isnull=True, horse__isnull=True), name="chart_one_for_the_house"
            ),
            models.CheckConstraint(
                condition=Q(tolerance_c__gte=0, tolerance_c__lte=5), name="chart_tolerance_in_range"
            ),
        ]

    def __str__(self) -> str:
        return f"Chart of {self.horse}" if self.horse else "House chart"


class ChartRow(BarnOwned):
    """One line of a chart: from a temperature up to another, where, dry or wet, and what to put on."""

    chart = models.ForeignKey(Chart, on_delete=models.PROTECT, related_name="rows")
    order = models.PositiveSmallIntegerField()
    from_c = models.FloatField(null=True, blank=True)
    below_c = models.FloatField(null=True, blank=True)
    place = models.CharField(max_length=8, choices=ChartPlace, blank=True, default="")
    wet = models.CharField(max_length=14, choices=ChartWet, blank=True, default="")
    fill = models.CharField("what weight", max_length=8, choices=ChartFill, blank=True, default="")
    tags = models.CharField("or these blankets, by tag", max_length=40, blank=True)
    neck = models.BooleanField(default=False)
    common = models.CharField("common notes, by name", max_length=120, blank=True)
    note = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering: ClassVar = ["order", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["chart", "order"], name="chart_row_order_once"),
            models.CheckConstraint(
                condition=Q(from_c__isnull=True) | Q(below_c__isnull=True) | Q(below_c__gt=models.F("from_c")),
                name="chart_row_spans_something",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.chart}: {self.from_c} to {self.below_c}"
