"""The steps of a new barn's first run that belong to horses and paddocks."""

from django.utils.translation import gettext_lazy as _

from barnrugs.barns import first_run
from horses.queries import horse, paddock


def register() -> None:
    first_run.register(
        30,
        label=_("Paddocks"),
        why=_("Where horses go out, and what shelter is there."),
        page="paddocks",
        is_done=paddock.has_paddocks,
    )
    first_run.register(
        40,
        label=_("Horses"),
        why=_("In the order in which you walk past them."),
        page="horses",
        is_done=horse.has_horses,
    )
    first_run.register(
        50,
        label=_("Measurements"),
        why=_("Chest to tail of every horse, so that sizes can be judged."),
        page="horses",
        is_done=horse.was_measured,
    )
