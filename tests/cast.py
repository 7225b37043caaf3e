"""The fixed cast of every test: one barn with all its people, and a second barn whose things could leak."""

from collections.abc import Callable
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime

import pytest
from django.test import Client

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, Device, Invitation, JournalEntry, Person, StaffedTime
from barnrugs.barns.models.journal import SubjectKind
from horses.models import Horse, Paddock
from inventory.enums import CareKind, Kind, Lining, Waterproofing
from inventory.models import Blanket, CareJob, FitNote, Leave, Placing, Wearing
from tests import factories as make

NOW = datetime(2026, 1, 15, 6, tzinfo=UTC)
"""An evening in the barn's own zone (America/Anchorage), for tests that pin the time."""

ROLES = ("manager", "staff", "owner", "staff_owner", "other_owner", "lessee", "stranger", "leaver")


@dataclass(frozen=True)
class OtherBarn:
    """A barn next door with one of everything, so that a leak has something to leak."""

    barn: Barn
    person: Person
    horse: Horse
    paddock: Paddock
    blanket: Blanket
    wearing: Wearing
    placing: Placing
    leave: Leave
    fit_note: FitNote
    care_job: CareJob
    device: Device
    invitation: Invitation
    staffed_time: StaffedTime
    entry: JournalEntry


@dataclass(frozen=True)
class Cast:
    """Everybody and everything the tests speak of, by name."""

    barn: Barn
    manager: Person
    staff: Person
    owner: Person
    staff_owner: Person
    other_owner: Person
    lessee: Person
    leaver: Person
    stranger: Person
    phone: Device
    invitation: Invitation
    staffed_time: StaffedTime
    paddock: Paddock
    owners_horse: Horse
    staff_owners_horse: Horse
    other_horse: Horse
    leased_horse: Horse
    barn_horse: Horse
    worn: Blanket
    owners_blanket: Blanket
    owners_liner: Blanket
    staff_owners_blanket: Blanket
    other_blanket: Blanket
    leased_blanket: Blanket
    barn_blanket: Blanket
    wearing: Wearing
    placing: Placing
    leave: Leave
    fit_note: FitNote
    care_job: CareJob
    entry: JournalEntry
    other: OtherBarn

    @property
    def people(self) -> dict[str, Person]:
        return {role: getattr(self, role) for role in ROLES}

    def named(self) -> dict[str, object]:
        return {field.name: getattr(self, field.name) for field in fields(self)}


def _person(barn: Barn, name: str, **roles: bool | datetime) -> Person:
    return make.PersonFactory(barn=barn, name=name, user__username=name.lower().replace(" ", "_"), **roles)


def _horse(barn: Barn, name: str, owner: Person | None, paddock: Paddock) -> Horse:
    horse = make.HorseFactory(barn=barn, name=name)
    make.MeasurementFactory(horse=horse)
    make.CoatFactory(horse=horse)
    make.ConditionFactory(horse=horse)
    make.PaddockStayFactory(horse=horse, paddock=paddock)
    if owner:
        make.HorseOwnerFactory(horse=horse, person=owner)
    return horse


def _entry(barn: Barn, by: Person, horse: Horse) -> JournalEntry:
    entry = make.JournalEntryFactory(barn=barn, person_key=by.key)
    make.JournalSubjectFactory(entry=entry, kind=SubjectKind.HORSE, subject_id=horse.pk, label=horse.name)
    return entry


def _next_door() -> OtherBarn:
    barn = make.BarnFactory(name="Next Door", slug="next-door")
    person = _person(barn, "Stranger", is_manager=True, is_staff=True, is_owner=True)
    paddock = make.PaddockFactory(barn=barn, name="Their Field")
    horse = _horse(barn, "Their Horse", person, paddock)
    blanket = make.BlanketFactory(barn=barn, tag="XXXX1", owner=person, usual_horse=horse)
    return OtherBarn(
        barn=barn,
        person=person,
        horse=horse,
        paddock=paddock,
        blanket=blanket,
        wearing=make.WearingFactory(blanket=blanket, horse=horse, on_by=person),
        placing=make.PlacingFactory(blanket=make.BlanketFactory(barn=barn, tag="XXXX2", owner=person)),
        leave=make.LeaveFactory(blanket=blanket, horse=horse),
        fit_note=make.FitNoteFactory(blanket=blanket, horse=horse),
        care_job=make.CareJobFactory(blanket=blanket, reported_by=person),
        device=make.DeviceFactory(barn=barn, name="Their Phone"),
        invitation=make.InvitationFactory(barn=barn, person=person),
        staffed_time=make.StaffedTimeFactory(barn=barn),
        entry=_entry(barn, person, horse),
    )


def build_cast() -> Cast:
    barn = make.BarnFactory(name="Home Barn", slug="home", indoor_gain_c=8)
    other = _next_door()
    manager = _person(barn, "Manager", is_manager=True)
    staff = _person(barn, "Staff", is_staff=True)
    owner = _person(barn, "Owner", is_owner=True)
    staff_owner = _person(barn, "Staff Owner", is_staff=True, is_owner=True)
    other_owner = _person(barn, "Other Owner", is_owner=True)
    lessee = _person(barn, "Lessee", is_owner=True)
    leaver = _person(
        barn, "Leaver", is_manager=True, is_staff=True, is_owner=True, left_at=datetime(2025, 6, 1, tzinfo=UTC)
    )
    paddock = make.PaddockFactory(barn=barn, name="Home Field")
    owners_horse = _horse(barn, "Bramble", owner, paddock)
    staff_owners_horse = _horse(barn, "Cinder", staff_owner, paddock)
    other_horse = _horse(barn, "Dapple", other_owner, paddock)
    leased_horse = _horse(barn, "Ember", other_owner, paddock)
    make.HorseOwnerFactory(horse=leased_horse, person=lessee, lessee=True)
    make.HorseOwnerFactory(horse=other_horse, person=leaver, since=date(2020, 1, 1), until=date(2025, 6, 1))
    barn_horse = _horse(barn, "Fern", None, paddock)
    worn = make.BlanketFactory(barn=barn, tag="WRN22", owner=owner, usual_horse=owners_horse)
    owners_blanket = make.BlanketFactory(barn=barn, tag="WNR33", owner=owner, usual_horse=owners_horse, fill_g=300)
    owners_liner = make.BlanketFactory(
        barn=barn,
        tag="LNR44",
        owner=owner,
        usual_horse=owners_horse,
        kind=Kind.LINER,
        fill_g=100,
        denier=None,
        waterproofing=Waterproofing.NONE,
        lining=Lining.NYLON,
    )
    other_blanket = make.BlanketFactory(barn=barn, tag="THR55", owner=other_owner, usual_horse=other_horse)
    return Cast(
        barn=barn,
        manager=manager,
        staff=staff,
        owner=owner,
        staff_owner=staff_owner,
        other_owner=other_owner,
        lessee=lessee,
        leaver=leaver,
        stranger=other.person,
        phone=make.DeviceFactory(barn=barn, name="Barn Phone"),
        invitation=make.InvitationFactory(barn=barn, person=staff),
        staffed_time=make.StaffedTimeFactory(barn=barn),
        paddock=paddock,
        owners_horse=owners_horse,
        staff_owners_horse=staff_owners_horse,
        other_horse=other_horse,
        leased_horse=leased_horse,
        barn_horse=barn_horse,
        worn=worn,
        owners_blanket=owners_blanket,
        owners_liner=owners_liner,
        staff_owners_blanket=make.BlanketFactory(
            barn=barn, tag="STF66", owner=staff_owner, usual_horse=staff_owners_horse
        ),
        other_blanket=other_blanket,
        leased_blanket=make.BlanketFactory(barn=barn, tag="LSD77", owner=other_owner, usual_horse=leased_horse),
        barn_blanket=make.BlanketFactory(barn=barn, tag="BRN88"),
        wearing=make.WearingFactory(blanket=worn, horse=owners_horse, on_by=staff),
        placing=make.PlacingFactory(blanket=owners_blanket, place="Rack 3"),
        leave=make.LeaveFactory(blanket=owners_blanket, horse=staff_owners_horse),
        fit_note=make.FitNoteFactory(blanket=owners_blanket, horse=owners_horse),
        care_job=make.CareJobFactory(blanket=other_blanket, kind=CareKind.WASH, reported_by=staff),
        entry=_entry(barn, staff, owners_horse),
        other=other,
    )


@pytest.fixture
def cast(db: None) -> Cast:
    return build_cast()


@pytest.fixture
def barn(cast: Cast) -> Barn:
    return cast.barn


@pytest.fixture
def sign_in() -> Callable[[Person | None], Client]:
    """A browser in which this person is signed in; without a person, an anonymous one."""

    def browser(person: Person | None) -> Client:
        client = Client()
        if person is not None:
            client.force_login(person.user)
        return client

    return browser


@pytest.fixture
def act() -> Callable[..., Actor]:
    """act(person) does something at NOW; act(person, device=..., there_at=...) elsewhere or earlier."""

    def actor(person: Person, **how: object) -> Actor:
        return Actor(**{"person": person, "now": NOW, **how})

    return actor
