"""Plain factories: one per model, everything of one barn by default, nothing random."""

import uuid
from datetime import UTC, date, datetime, time
from decimal import Decimal

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from factory import LazyAttribute, SelfAttribute, Sequence, SubFactory, post_generation
from factory.django import DjangoModelFactory

from barnrugs.barns.models import (
    Barn,
    Device,
    Invitation,
    JournalEntry,
    JournalSubject,
    Person,
    SentWrite,
    StaffedTime,
    User,
)
from barnrugs.barns.models.barn import Session
from barnrugs.barns.models.journal import SubjectKind
from barnrugs.weather.models import WeatherSource
from horses.enums import Build, Clip, OutPlan, Shelter, SizeSystem
from horses.models import Coat, Condition, Horse, HorseOwner, Measurement, Paddock, PaddockStay
from inventory.enums import CareKind, CareStep, Felt, Fit, Keeping, Kind, QuestionKind, Waterproofing
from inventory.models import (
    Blanket,
    CareJob,
    CareMove,
    CareRules,
    ChangeList,
    Chart,
    ChartRow,
    FeeReason,
    FeeRule,
    FitNote,
    HandCheck,
    Leave,
    ListLine,
    Picture,
    Placing,
    Question,
    SavedView,
    Wearing,
)

LONG_AGO = date(2020, 1, 1)
SINCE = datetime(2026, 1, 1, 12, tzinfo=UTC)


class UserFactory(DjangoModelFactory):
    class Meta:
        model = User

    username = Sequence(lambda n: f"user{n}")
    email = LazyAttribute(lambda user: f"{user.username}@example.org")


class BarnFactory(DjangoModelFactory):
    class Meta:
        model = Barn

    name = Sequence(lambda n: f"Barn {n}")
    slug = Sequence(lambda n: f"barn-{n}")
    time_zone = "America/Anchorage"


class BarnOwnedFactory(DjangoModelFactory):
    class Meta:
        abstract = True

    barn = SubFactory(BarnFactory)


class PersonFactory(BarnOwnedFactory):
    class Meta:
        model = Person

    user = SubFactory(UserFactory)
    name = Sequence(lambda n: f"Person {n}")
    is_staff = LazyAttribute(lambda person: not (person.is_manager or person.is_owner))
    is_manager = False
    is_owner = False
    joined_on = LONG_AGO


class DeviceFactory(BarnOwnedFactory):
    class Meta:
        model = Device

    name = Sequence(lambda n: f"Phone {n}")
    enrolled_at = SINCE


class InvitationFactory(BarnOwnedFactory):
    class Meta:
        model = Invitation

    person = SubFactory(PersonFactory, barn=SelfAttribute("..barn"))
    digest = Sequence(lambda n: f"{n:064x}")
    made_at = SINCE
    expires_at = datetime(2026, 1, 4, 12, tzinfo=UTC)


class StaffedTimeFactory(BarnOwnedFactory):
    class Meta:
        model = StaffedTime

    session = Session.NIGHT_CHECK
    at = time(21)


class SentWriteFactory(BarnOwnedFactory):
    class Meta:
        model = SentWrite

    sender_key = Sequence(lambda n: uuid.UUID(int=n))
    once = Sequence(lambda n: uuid.UUID(int=n))
    digest = "0" * 64
    at = SINCE


class JournalEntryFactory(BarnOwnedFactory):
    class Meta:
        model = JournalEntry

    person_key = Sequence(lambda n: uuid.UUID(int=n))
    there_at = SINCE
    here_at = SINCE
    action = "barn_made"


class JournalSubjectFactory(DjangoModelFactory):
    class Meta:
        model = JournalSubject

    entry = SubFactory(JournalEntryFactory)
    kind = SubjectKind.HORSE
    subject_id = 1
    label = "Somebody"


class WeatherSourceFactory(BarnOwnedFactory):
    class Meta:
        model = WeatherSource

    name = Sequence(lambda n: f"Year {n}")
    kind = "tmy3"
    latitude = 55.3
    longitude = -160.5
    utc_offset_h = -9
    begun_at = SINCE
    loaded_at = SINCE


class HorseFactory(BarnOwnedFactory):
    class Meta:
        model = Horse

    name = Sequence(lambda n: f"Horse {n}")
    stall = Sequence(lambda n: f"{n}")
    walk_order = Sequence(lambda n: n % 30000)
    birth_year = 2015
    mass_kg = 500
    build = Build.AVERAGE


class OfHorseFactory(BarnOwnedFactory):
    """Give the horse, and the record belongs to the horse's barn."""

    class Meta:
        abstract = True

    horse = SubFactory(HorseFactory)
    barn = SelfAttribute("horse.barn")


class HorseOwnerFactory(OfHorseFactory):
    class Meta:
        model = HorseOwner

    person = SubFactory(PersonFactory, barn=SelfAttribute("..barn"), is_owner=True)
    since = LONG_AGO


class MeasurementFactory(OfHorseFactory):
    class Meta:
        model = Measurement

    on = date(2026, 1, 1)
    given = "78"
    given_system = SizeSystem.INCHES
    chest_to_tail_cm = "198.1"


class CoatFactory(OfHorseFactory):
    class Meta:
        model = Coat

    on = date(2025, 12, 1)
    clip = Clip.NONE
    depth_mm = 22


class ConditionFactory(OfHorseFactory):
    class Meta:
        model = Condition

    on = date(2025, 12, 1)
    score = 5


class PaddockFactory(BarnOwnedFactory):
    class Meta:
        model = Paddock

    name = Sequence(lambda n: f"Paddock {n}")
    shelter = Shelter.OPEN
    out_plan = OutPlan.DAY
    out_from = time(7)
    out_until = time(16)


class PaddockStayFactory(OfHorseFactory):
    class Meta:
        model = PaddockStay

    paddock = SubFactory(PaddockFactory, barn=SelfAttribute("..barn"))
    since = LONG_AGO


class BlanketFactory(BarnOwnedFactory):
    """A sound waterproof turnout of the barn's own, 78 inches, 200 g, 1200 denier."""

    class Meta:
        model = Blanket

    tag = Sequence(lambda n: f"T{n % 10000:04d}")
    kind = Kind.TURNOUT
    size_given = "78"
    size_system = SizeSystem.INCHES
    size_in = 78
    fill_g = 200
    denier = 1200
    waterproofing = Waterproofing.WATERPROOF


class OfBlanketFactory(BarnOwnedFactory):
    """Give the blanket, and the record belongs to the blanket's barn."""

    class Meta:
        abstract = True

    blanket = SubFactory(BlanketFactory)
    barn = SelfAttribute("blanket.barn")


class PlacingFactory(OfBlanketFactory):
    class Meta:
        model = Placing

    kind = Keeping.RACK
    since = SINCE


class LeaveFactory(OfBlanketFactory):
    class Meta:
        model = Leave

    horse = SubFactory(HorseFactory, barn=SelfAttribute("..barn"))
    since = LONG_AGO


class FitNoteFactory(OfBlanketFactory):
    class Meta:
        model = FitNote

    horse = SubFactory(HorseFactory, barn=SelfAttribute("..barn"))
    fit = Fit.FITS
    on = LONG_AGO


class WearingFactory(OfBlanketFactory):
    class Meta:
        model = Wearing

    horse = SubFactory(HorseFactory, barn=SelfAttribute("..barn"))
    on_at = SINCE
    on_by = SubFactory(PersonFactory, barn=SelfAttribute("..barn"))


class CareJobFactory(OfBlanketFactory):
    class Meta:
        model = CareJob

    kind = CareKind.WASH
    step = CareStep.REPORTED
    payer = SelfAttribute("blanket.owner")
    reported_at = SINCE
    reported_by = SubFactory(PersonFactory, barn=SelfAttribute("..barn"))


class CareMoveFactory(BarnOwnedFactory):
    class Meta:
        model = CareMove

    job = SubFactory(CareJobFactory)
    barn = SelfAttribute("job.barn")
    word = "report"
    came_from = ""
    went_to = CareStep.REPORTED
    at = SINCE
    by = SubFactory(PersonFactory, barn=SelfAttribute("..barn"))


class CareRulesFactory(BarnOwnedFactory):
    class Meta:
        model = CareRules


class PictureFactory(OfBlanketFactory):
    """The row, with its two files."""

    class Meta:
        model = Picture
        skip_postgeneration_save = True

    sha = "0" * 64
    width = 8
    height = 6
    taken_by = SubFactory(PersonFactory, barn=SelfAttribute("..barn"))
    at = SINCE

    @post_generation
    def files(picture, create: bool, extracted: object, **kwargs: object) -> None:  # noqa: N805
        for path in (picture.path, picture.small_path):
            default_storage.save(path, ContentFile(b"picture"))


class SavedViewFactory(BarnOwnedFactory):
    class Meta:
        model = SavedView

    person = SubFactory(PersonFactory)
    barn = SelfAttribute("person.barn")
    name = Sequence(lambda n: f"View {n}")
    query = "wet=soaked"


class ChartFactory(BarnOwnedFactory):
    """The house chart, unless a horse is given."""

    class Meta:
        model = Chart

    since = SINCE


class ChartRowFactory(BarnOwnedFactory):
    class Meta:
        model = ChartRow

    chart = SubFactory(ChartFactory)
    barn = SelfAttribute("chart.barn")
    order = Sequence(lambda n: n % 30000)


class ChangeListFactory(BarnOwnedFactory):
    class Meta:
        model = ChangeList

    day = SINCE.date()
    session = Session.TURNOUT
    due_at = SINCE
    made_at = SINCE


class ListLineFactory(BarnOwnedFactory):
    class Meta:
        model = ListLine

    change_list = SubFactory(ChangeListFactory)
    barn = SelfAttribute("change_list.barn")
    horse = SubFactory(HorseFactory, barn=SelfAttribute("..barn"))
    order = Sequence(lambda n: n % 30000)
    verdict = "wear"


class HandCheckFactory(BarnOwnedFactory):
    class Meta:
        model = HandCheck

    horse = SubFactory(HorseFactory)
    barn = SelfAttribute("horse.barn")
    at = SINCE
    by = SubFactory(PersonFactory, barn=SelfAttribute("..barn"))
    felt = Felt.RIGHT


class FeeRuleFactory(BarnOwnedFactory):
    """3.00 a change above two a day, 25.00 a month."""

    class Meta:
        model = FeeRule

    since = LONG_AGO
    monthly = Decimal("25.00")
    per_change = Decimal("3.00")
    included = 2


class FeeReasonFactory(BarnOwnedFactory):
    class Meta:
        model = FeeReason

    rule = SubFactory(FeeRuleFactory)
    barn = SelfAttribute("rule.barn")
    words = "rider's wish"
    price = Decimal("4.50")


class QuestionFactory(BarnOwnedFactory):
    class Meta:
        model = Question

    kind = QuestionKind.CONTRADICTS
    person = SubFactory(PersonFactory, barn=SelfAttribute("..barn"))
    once = Sequence(lambda n: uuid.UUID(int=n))
    event = LazyAttribute(lambda question: {"kind": "wear"})
    there_at = SINCE
    asked_at = SINCE
