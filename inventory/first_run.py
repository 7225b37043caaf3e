"""The step of a new barn's first run that belongs to blankets."""

from django.utils.translation import gettext_lazy as _

from barnrugs.barns import first_run
from barnrugs.barns.models import Barn
from inventory.models import Blanket


def register() -> None:
    first_run.register(
        60,
        label=_("Blankets"),
        why=_("One by one, or all at once from a spreadsheet."),
        page="blankets",
        is_done=has_blankets,
    )


def has_blankets(barn: Barn) -> bool:
    return Blanket.objects.filter(barn=barn).exists()
