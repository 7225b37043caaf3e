from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from barnrugs.barns.models import BarnOwned, Person
from horses.enums import Build, Feed, LinerPreference, OutPlan, Presence, VetSays


class Horse(BarnOwned):
    name = models.CharField(max_length=60)
    stall = models.CharField(max_length=20, blank=True)
    walk_order = models.PositiveSmallIntegerField("place in the walking order", default=0)
    birth_year = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1970), MaxValueValidator(2100)]
    )
    looks = models.CharField("colour and markings", max_length=120, blank=True)
    mass_kg = models.FloatField(
        "body mass", null=True, blank=True, validators=[MinValueValidator(35), MaxValueValidator(1100)]
    )
    build = models.CharField(max_length=8, choices=Build, default=Build.AVERAGE)
    feed = models.CharField(max_length=12, choices=Feed, default=Feed.MAINTENANCE)
    liner_preference = models.CharField(max_length=8, choices=LinerPreference, blank=True)
    blanketed_since_autumn = models.BooleanField(default=False)

    chews_own = models.BooleanField("chews its own blanket", default=False)
    chews_others = models.BooleanField("chews others' blankets", default=False)
    rolls = models.BooleanField("rolls a lot", default=False)
    head_shy = models.BooleanField("head-shy: nothing over the head", default=False)

    thin = models.BooleanField(default=False)
    old = models.BooleanField(default=False)
    ill = models.BooleanField(default=False)
    young = models.BooleanField(default=False)

    handling_note = models.CharField(max_length=300, blank=True)
    two_people = models.BooleanField("needs two people", default=False)
    call_number = models.CharField("number to call", max_length=40, blank=True)
    must_be_covered = models.BooleanField("must be covered whatever the rule", default=False)

    vet_says = models.CharField("veterinarian's note", max_length=10, choices=VetSays, blank=True, default="")
    vet_fill_g = models.PositiveSmallIntegerField("at least this many grams", null=True, blank=True)
    vet_tags = models.CharField("these blankets (tags)", max_length=60, blank=True)
    vet_note = models.CharField("in the veterinarian's words", max_length=300, blank=True)
    vet_until = models.DateField("until", null=True, blank=True)

    out_plan = models.CharField("turnout", max_length=8, choices=OutPlan, blank=True, default="")
    out_from = models.TimeField("out from", null=True, blank=True)
    out_until = models.TimeField("in again at", null=True, blank=True)
    presence = models.CharField(max_length=8, choices=Presence, default=Presence.HERE)

    class Meta:
        ordering: ClassVar = ["walk_order", "name", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(mass_kg__isnull=True) | Q(mass_kg__gte=35, mass_kg__lte=1100), name="horse_mass_in_range"
            ),
        ]
        indexes: ClassVar = [models.Index(fields=["barn", "walk_order"], name="horse_walk_order")]

    def __str__(self) -> str:
        return self.name


class HorseOwner(BarnOwned):
    """Who owns or leases a horse, from a day to another."""

    horse = models.ForeignKey(Horse, on_delete=models.PROTECT, related_name="owners")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="horses")
    lessee = models.BooleanField(default=False)
    since = models.DateField()
    until = models.DateField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["since", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["horse", "person"], condition=Q(until__isnull=True), name="horse_owner_once"
            ),
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=F("since")), name="horse_owner_ends_after_it_began"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} for {self.horse}"
