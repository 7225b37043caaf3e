"""Makes the demo barn, once."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from barnrugs.barns import journal
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.weather import shipped
from inventory.demo import charts, happenings, herd, people, phone, wardrobe

SLUG = "spruce-elbow"


@transaction.atomic
def make(now: datetime) -> Barn:
    """The demo barn as of `now`; if it is there already, it stays as it is."""
    known = Barn.objects.filter(slug=SLUG).first()
    if known:
        return known
    barn = people.make_barn(SLUG, shipped.year_of(shipped.ALASKA).site)
    today = now.astimezone(barn.zone).date()
    cast = people.make_people(barn, now)
    for action in ("barn_made", "house_confirmed", "staffed_times_set"):
        journal.write(Actor(cast["marit"], now=now), action, about=[barn])
    horses = herd.make_herd(barn, cast, people.make_paddocks(barn), today)
    blankets = wardrobe.make_wardrobes(barn, horses, cast, today)
    scene = happenings.Scene(barn, cast, horses, blankets, now)
    with timezone.override(barn.zone):
        happenings.happen(scene)
        charts.write(scene)
        phone.send(scene)
    return barn
