import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.models.barn import BarnOwned

OFF_FROM_MIN = 5
"""By how many minutes a phone's clock is off before anybody is told."""


class Role(models.TextChoices):
    MANAGER = "manager", _("Manager")
    STAFF = "staff", _("Staff")
    OWNER = "owner", _("Owner")


class Person(BarnOwned):
    """Somebody in one barn, with a set of roles. The journal keeps the opaque key, so that a name can be erased."""

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="people"
    )
    name = models.CharField(max_length=80)
    phone = models.CharField(max_length=40, blank=True)
    is_manager = models.BooleanField("manager", default=False)
    is_staff = models.BooleanField("staff", default=False)
    is_owner = models.BooleanField("owner", default=False)
    joined_on = models.DateField(null=True, blank=True)
    left_at = models.DateTimeField(null=True, blank=True)
    pin = models.CharField(max_length=128, blank=True, editable=False)

    class Meta:
        ordering: ClassVar = ["name", "pk"]
        verbose_name_plural = "people"
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["barn", "user"], name="person_once_in_a_barn", condition=Q(user__isnull=False)
            ),
            models.CheckConstraint(
                condition=Q(is_manager=True) | Q(is_staff=True) | Q(is_owner=True), name="person_has_a_role"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def roles(self) -> frozenset[Role]:
        held = {Role.MANAGER: self.is_manager, Role.STAFF: self.is_staff, Role.OWNER: self.is_owner}
        return frozenset(role for role, has in held.items() if has)


class Device(BarnOwned):
    """A phone that several people share, enrolled by a manager with a code that it takes up once.

    code_digest: of the code while it waits to be taken up. clock_off_s: by how much its clock was behind at its last
    contact.
    """

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=80)
    enrolled_at = models.DateTimeField()
    code_digest = models.CharField(max_length=64, blank=True, editable=False)
    code_until = models.DateTimeField(null=True, blank=True, editable=False)
    came_in_at = models.DateTimeField(null=True, blank=True)
    seen_at = models.DateTimeField("last contact", null=True, blank=True)
    clock_off_s = models.FloatField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["name", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["code_digest"], condition=~Q(code_digest=""), name="device_code_once"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def clock_off_min(self) -> int:
        return round(abs(self.clock_off_s or 0) / 60)

    @property
    def clock_is_off(self) -> bool:
        return self.clock_off_min >= OFF_FROM_MIN


class Invitation(BarnOwned):
    """A code that lets one person in, once, for 72 hours. Only its digest is kept."""

    digest = models.CharField(max_length=64, unique=True)
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="invitations")
    email = models.EmailField(blank=True)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"Invitation for {self.person}"
