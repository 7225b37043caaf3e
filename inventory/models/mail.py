from typing import ClassVar

from django.db import models

from barnrugs.barns.models import BarnOwned, Person
from inventory.enums import Letter


class MailChoice(BarnOwned):
    """Whether a person wants a kind of letter. Without a row: yes."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="mail_choices")
    letter = models.CharField(max_length=12, choices=Letter)
    wanted = models.BooleanField(default=True)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["person", "letter"], name="mail_choice_once")]

    def __str__(self) -> str:
        return f"{self.person}: {self.get_letter_display()}"


class MailSent(BarnOwned):
    """A letter claimed by a sender, and when it was out. The claim makes it go once, however often the sender runs."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="mail_sent")
    letter = models.CharField(max_length=12, choices=Letter)
    about = models.CharField(max_length=60)
    claimed_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "mail sent"
        constraints: ClassVar = [models.UniqueConstraint(fields=["person", "letter", "about"], name="mail_sent_once")]

    def __str__(self) -> str:
        return f"{self.letter} {self.about} to {self.person}"
