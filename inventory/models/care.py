import uuid
from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from barnrugs.barns.models import BarnOwned, Person
from horses.models import Horse
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome, DamagedPart
from inventory.models.blanket import Blanket
from inventory.models.picture import Picture

ENDS = (CareStep.CHECKED, CareStep.CLOSED, CareStep.RETIRED)
"""The steps at which a job is over. A lost blanket's job is not: it may be found."""

OFF_SITE = (CareStep.AWAY, CareStep.QUOTED, CareStep.APPROVED, CareStep.DECLINED)
TRAVELLING = (CareStep.BAGGED, *OFF_SITE, CareStep.BACK)
WAITING = (CareStep.REPORTED, CareStep.QUOTED)
"""The steps at which somebody must decide."""


class CareJob(BarnOwned):
    """A wash, repair or waterproofing of one blanket, from the report to the check on its return.

    `turn` counts its steps: a form shown at one turn is refused at another, so nobody decides over another.
    `picture_fault`, not kept: why the picture of the step just taken could not be.
    """

    picture_fault: str = ""

    blanket = models.ForeignKey(Blanket, on_delete=models.PROTECT, related_name="care_jobs")
    kind = models.CharField(max_length=14, choices=CareKind)
    step = models.CharField(max_length=10, choices=CareStep, default=CareStep.REPORTED)
    turn = models.PositiveIntegerField(default=0)
    part = models.CharField("what is wrong", max_length=10, choices=DamagedPart, blank=True)
    do_not_use = models.BooleanField(default=False)
    note = models.CharField(max_length=300, blank=True)
    on_horse = models.ForeignKey(Horse, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    company = models.JSONField("who was out with it", default=list, blank=True)
    reported_at = models.DateTimeField()
    reported_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    decision = models.CharField(max_length=10, choices=CareDecision, blank=True)
    temporary_fix_until = models.DateField(null=True, blank=True)
    limit = models.DecimalField(
        "ask above", max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    quote = models.DecimalField(
        max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    payer = models.ForeignKey(
        Person,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        verbose_name="who pays",
        help_text="Empty: the barn pays.",
    )
    sent_to = models.CharField("cleaner or repairer", max_length=80, blank=True)
    due_on = models.DateField("due back", null=True, blank=True)
    outcome = models.CharField(max_length=8, choices=CheckOutcome, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["reported_at", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["blanket", "kind", "part"], condition=Q(closed_at__isnull=True), name="care_job_open_once"
            ),
            models.CheckConstraint(
                condition=Q(step__in=ENDS, closed_at__isnull=False) | (~Q(step__in=ENDS) & Q(closed_at__isnull=True)),
                name="care_job_closed_at_its_end",
            ),
        ]
        indexes: ClassVar = [models.Index(fields=["barn", "step"], name="care_job_by_step")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.blanket}"


class CareMove(BarnOwned):
    """One step of a care job: who moved it, when, what it cost, with a note."""

    job = models.ForeignKey(CareJob, on_delete=models.PROTECT, related_name="moves")
    word = models.CharField(max_length=10, choices=CareWord)
    came_from = models.CharField(max_length=10, choices=CareStep, blank=True)
    went_to = models.CharField(max_length=10, choices=CareStep)
    at = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    decision = models.CharField(max_length=10, choices=CareDecision, blank=True)
    outcome = models.CharField(max_length=8, choices=CheckOutcome, blank=True)
    quote = models.DecimalField(
        max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    cost = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)])
    note = models.CharField(max_length=300, blank=True)
    picture = models.ForeignKey(Picture, null=True, blank=True, on_delete=models.PROTECT, related_name="care_moves")

    class Meta:
        ordering: ClassVar = ["at", "pk"]
        indexes: ClassVar = [models.Index(fields=["barn", "at"], name="care_move_by_time")]

    def __str__(self) -> str:
        return f"{self.job}: {self.get_word_display()}"


class Paper(BarnOwned):
    """A picture of a bill or a quote. It shows money: kept apart from the pictures that staff see."""

    move = models.ForeignKey(CareMove, on_delete=models.PROTECT, related_name="papers")
    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    sha = models.CharField("SHA-256 of the file", max_length=64)
    at = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.move} {self.at:%Y-%m-%d}"

    @property
    def path(self) -> str:
        return f"papers/{self.key.hex[:2]}/{self.key.hex}.jpg"


class CareRules(BarnOwned):
    """The house's rules for care. A barn without a row has the defaults."""

    leaks_until_proofing = models.PositiveSmallIntegerField(
        "logged leaks until waterproofing is due", default=1, validators=[MinValueValidator(1), MaxValueValidator(20)]
    )
    days_to_decide = models.PositiveSmallIntegerField(
        "days until a waiting decision is overdue", default=3, validators=[MinValueValidator(1), MaxValueValidator(90)]
    )
    replace_share = models.PositiveSmallIntegerField(
        "ask 'repair or replace' from this share of the price, per cent",
        default=50,
        validators=[MinValueValidator(1), MaxValueValidator(500)],
    )
    season_month = models.PositiveSmallIntegerField(
        "month in which the blanket season begins", default=9, validators=[MinValueValidator(1), MaxValueValidator(12)]
    )

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["barn"], name="care_rules_once")]

    def __str__(self) -> str:
        return f"Care rules of {self.barn}"
