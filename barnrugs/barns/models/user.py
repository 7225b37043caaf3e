from django.contrib.auth.models import AbstractUser
from django.db import models


class Language(models.TextChoices):
    ENGLISH = "en", "English"
    SPANISH = "es", "Español"


class User(AbstractUser):
    """Somebody who signs in. What they may do stands on their Person in each barn."""

    language = models.CharField(max_length=5, choices=Language, default=Language.ENGLISH)
