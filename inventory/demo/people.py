"""The invented barn's house, people and paddocks."""

from datetime import datetime, time, timedelta

from django.contrib.auth.hashers import make_password

from barnrugs.barns.models import Barn, Person, StaffedTime, User
from barnrugs.barns.models.barn import USUAL_TIMES, HouseModel, Units
from barnrugs.barns.models.user import Language
from barnrugs.weather.hours import Site
from horses.enums import OutPlan, Shelter
from horses.models import Paddock

PASSWORD = "hay-and-hoofprints"  # noqa: S105  it is printed for everybody who runs the demo
PEOPLE = {
    "marit": {"is_manager": True},
    "tove": {"is_staff": True},
    "ansel": {"is_staff": True},
    "ines": {"is_staff": True, "is_owner": True},
    "bram": {"is_owner": True},
    "sunniva": {"is_owner": True},
    "quill": {"is_owner": True},
}
READS_SPANISH = ("ansel",)
PADDOCKS = {
    "Long Meadow": (Shelter.OPEN, OutPlan.DAY, time(7), time(16), "Open to the north wind; nothing to hide behind."),
    "Gate Field": (Shelter.WINDBREAK, OutPlan.NIGHT, time(16), time(7), "Spruce belt on the windward side."),
    "Shed Lot": (Shelter.SHED, OutPlan.ALWAYS, None, None, "Run-in shed for six."),
    "Ridge": (Shelter.OPEN, OutPlan.ALWAYS, None, None, "The hardy ones, out the year round."),
}


def make_barn(slug: str, site: Site) -> Barn:
    barn = Barn(
        name="Spruce Elbow Barn",
        slug=slug,
        time_zone="America/Anchorage",
        units=Units.US,
        latitude=site.latitude,
        longitude=site.longitude,
        indoor_gain_c=4,
        house_model=HouseModel.STAFF_ADJUST,
    )
    barn.full_clean()
    barn.save(force_insert=True)
    StaffedTime.objects.bulk_create(
        StaffedTime(barn=barn, session=session, at=at) for session, at in USUAL_TIMES.items()
    )
    return barn


def make_people(barn: Barn, now: datetime) -> dict[str, Person]:
    password = make_password(PASSWORD)
    return {name: _person(barn, name, password, now) for name in PEOPLE}


def _person(barn: Barn, name: str, password: str, now: datetime) -> Person:
    user = User.objects.create(
        username=name,
        email=f"{name}@example.org",
        password=password,
        language=Language.SPANISH if name in READS_SPANISH else Language.ENGLISH,
    )
    joined = (now - timedelta(days=400)).date()
    return Person.objects.create(barn=barn, user=user, name=name.title(), joined_on=joined, **PEOPLE[name])


def make_paddocks(barn: Barn) -> dict[str, Paddock]:
    return {
        name: Paddock.objects.create(
            barn=barn,
            name=name,
            shelter=shelter,
            walk_order=order,
            out_plan=plan,
            out_from=out_from,
            out_until=out_until,
            note=note,
        )
        for order, (name, (shelter, plan, out_from, out_until, note)) in enumerate(PADDOCKS.items(), start=1)
    }
