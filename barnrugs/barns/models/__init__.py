from barnrugs.barns.models.barn import Barn, BarnOwned, StaffedTime
from barnrugs.barns.models.journal import JournalEntry, JournalSubject
from barnrugs.barns.models.person import Device, Invitation, Person
from barnrugs.barns.models.sent import SentWrite
from barnrugs.barns.models.user import User

__all__ = [
    "Barn",
    "BarnOwned",
    "Device",
    "Invitation",
    "JournalEntry",
    "JournalSubject",
    "Person",
    "SentWrite",
    "StaffedTime",
    "User",
]
