from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from barnrugs.barns.models import BarnOwned, Person
from horses.enums import SizeSystem
from horses.models import Horse
from inventory.enums import Cut, Front, Keeping, Kind, Lining, Neck, Surcingles, TailFlap, Waterproofing


class Blanket(BarnOwned):
    """One blanket and its particulars. Where it is, wet, clean and sound are never stored: see queries/blankets.py."""

    tag = models.CharField(max_length=5)
    owner = models.ForeignKey(
        Person,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="blankets",
        help_text="Empty: the barn's own.",
    )
    usual_horse = models.ForeignKey(Horse, null=True, blank=True, on_delete=models.PROTECT, related_name="blankets")
    kind = models.CharField(max_length=16, choices=Kind)
    looks = models.CharField("colour and marks", max_length=120, blank=True)
    size_given = models.CharField("size as given", max_length=20, blank=True)
    size_system = models.CharField(max_length=8, choices=SizeSystem, default=SizeSystem.INCHES)
    size_in = models.DecimalField(
        "chest to tail, inches",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(30), MaxValueValidator(110)],
    )
    size_back_cm = models.DecimalField(
        "back length, cm",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(50), MaxValueValidator(200)],
    )
    cut = models.CharField(max_length=8, choices=Cut, default=Cut.STANDARD)
    fill_g = models.PositiveSmallIntegerField(
        "fill, grams per square metre", default=0, validators=[MaxValueValidator(800)]
    )
    denier = models.PositiveIntegerField(
        "shell, denier", null=True, blank=True, validators=[MinValueValidator(50), MaxValueValidator(5000)]
    )
    waterproofing = models.CharField(max_length=10, choices=Waterproofing, default=Waterproofing.NONE)
    water_head_mm = models.PositiveIntegerField("water head, mm", null=True, blank=True)
    breathable = models.BooleanField(default=True)
    lining = models.CharField(max_length=8, choices=Lining, blank=True)
    front = models.CharField("front closure", max_length=14, choices=Front, default=Front.BUCKLE)
    surcingles = models.CharField(max_length=10, choices=Surcingles, blank=True)
    leg_straps = models.BooleanField(default=False)
    tail_flap = models.CharField(max_length=10, choices=TailFlap, blank=True)
    neck = models.CharField(max_length=10, choices=Neck, default=Neck.NONE)
    gussets = models.BooleanField("shoulder gussets", default=False)
    back_seam = models.BooleanField("seam along the back", default=False)
    windproof = models.BooleanField(null=True, blank=True)
    bought_on = models.DateField(null=True, blank=True)
    price = models.DecimalField(
        max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    proofed_on = models.DateField("last waterproofed", null=True, blank=True)
    rack = models.CharField("where it hangs", max_length=60, blank=True)
    storage_place = models.CharField("where it is stored", max_length=60, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["tag"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["barn", "tag"], name="blanket_tag_once"),
            models.CheckConstraint(condition=Q(fill_g__lte=800), name="blanket_fill_in_range"),
        ]

    def __str__(self) -> str:
        return self.tag


class Placing(BarnOwned):
    """Where a blanket was put, until it went elsewhere. Wearings and care jobs stand above it."""

    blanket = models.ForeignKey(Blanket, on_delete=models.PROTECT, related_name="placings")
    kind = models.CharField(max_length=8, choices=Keeping)
    place = models.CharField(max_length=60, blank=True)
    to_whom = models.CharField("lent to", max_length=80, blank=True)
    due_on = models.DateField("due back", null=True, blank=True)
    soaked = models.BooleanField(default=False)
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["-since", "-pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["blanket"], condition=Q(until__isnull=True), name="blanket_in_one_place"),
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=F("since")), name="placing_ends_after_it_began"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.blanket} {self.get_kind_display()}"


class Leave(BarnOwned):
    """An owner's leave to put a blanket on a horse that is not theirs; without a horse, on any."""

    blanket = models.ForeignKey(Blanket, on_delete=models.PROTECT, related_name="leaves")
    horse = models.ForeignKey(Horse, null=True, blank=True, on_delete=models.PROTECT, related_name="leaves")
    since = models.DateField()
    until = models.DateField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["-since", "-pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=F("since")), name="leave_ends_after_it_began"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.blanket} for {self.horse or 'any horse'}"
