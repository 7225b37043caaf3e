"""What a page tells its script so that a phone works without signal: whose page it is, where things are, the words."""

from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.models import Person
from barnrugs.barns.pages import page_url

WORDS = {
    "here": _("On this phone"),
    "sending": _("Sending"),
    "sent": _("Sent"),
    "needs": _("Needs you"),
    "asked": _("Sent; the manager is asked"),
    "kept": _("Given to the manager"),
    "send_now": _("Send now"),
    "waiting_one": _("1 on this phone, not sent yet."),
    "waiting": _("%n on this phone, not sent yet."),
    "all_sent": _("All sent."),
    "needs_one": _("1 needs you."),
    "needs_many": _("%n need you."),
    "day": _("Something has waited for more than a day. Go where there is signal and send it."),
    "sign_in": _("Sign in again to send. Nothing is lost."),
    "sign_in_link": _("Sign in"),
    "others": _("%who noted something that waits until they come in on this phone."),
    "no_signal": _("No signal. What you do is kept on this phone."),
    "this_phone": _("This phone"),
    "kept_all": _("Kept on this phone for without signal: everything up to %at."),
    "keeping": _("Still being kept for without signal: stay in signal. %n of %of pages."),
    "kept_some": _("Kept on this phone for without signal: only %n of %of pages."),
    "kept_none": _("No list of the coming day is kept on this phone."),
    "kept_how": _("What is kept opens without signal too, and what you note there waits until it can be sent."),
    "no_signal_here": _("No signal."),
    "signal_again": _("There is signal again."),
    "open_anew": _("Open it as it is now"),
    "as_of": _("This page was kept at %at."),
    "full": _("The phone is full: this was NOT kept. Make room, or write it on paper."),
    "failed": _("This phone could not keep it. Write it on paper."),
    "no_picture": _("The phone is full: it was kept without its picture."),
    "somebody_else": _("Somebody else came in on this phone meanwhile. This was NOT noted. Open the list again."),
    "needs_signal": _("No signal: this was NOT sent. It stays here as it is; tap again where there is signal."),
    "only_list": _("Of this time only the list is kept on the phone; more about the horse comes with signal."),
    "only_tags": _("Without signal a blanket is found by its tag; the list of all blankets is not kept."),
    "no_such_tag": _("This phone knows no blanket with this tag. Look at the label once more."),
    "may_vanish": _("The browser may clear this phone's store when it runs short of room. Send soon."),
    "noted_sending": _("Noted: %what. Sending …"),
    "noted": _("What was noted on this phone"),
    "needs_how": _("Note it once more as it should be, then drop this one."),
    "drop": _("Drop it"),
    "drop_sure": _("Drop it for good"),
    "take_back": _("Take back"),
    "taken_back": _("Taken back"),
    "changed": _("Changed while this phone was away:"),
    "now": _("%horse: now %now, before %before."),
    "now_done": _("%horse: noted by somebody else meanwhile."),
    "now_added": _("%horse: new on the list."),
    "now_gone": _("%horse: no longer on the list."),
    "now_taken_back": _("%horse: what was noted was taken back."),
    "neck_on": _("%tags, neck on"),
    "nothing": _("nothing"),
    "cleared_head": _("This phone is cleared"),
    "cleared": _("This phone no longer belongs to the barn, or you have left it. The pages it kept are removed."),
    "given": _("What was not sent yet was given to the manager."),
    "house_trouble": _("The house does not answer as it should. It is tried again."),
    "done": _("Done"),
    "other": _("Something else"),
    "not_done": _("Not done"),
    "hand_check": _("Hand check"),
    "damage": _("Damage"),
    "wear": _("Changed"),
    "say_why": _("Say why."),
    "wet_or_not": _("“Nothing came off wet” is marked, and a place is typed. Which of the two?"),
    "which_tag": _("Say which, by its tag."),
    "what_felt": _("Say what your hand felt: tap one of the five."),
    "what_wrong": _("Choose what is wrong."),
    "which_blanket": _("Choose which blanket."),
    "where_hangs": _("Say where it hangs, so that somebody finds it."),
}


def keeps_pages(person: Person | None) -> bool:
    """Only what staff see is kept on a phone, never a page of a manager; these come in by their PIN on a shared one."""
    return bool(person and person.is_staff and not person.is_manager and not person.left_at)


def told(request: HttpRequest) -> dict[str, Any] | None:
    person: Person | None = getattr(request, "person", None)
    if person is None or not keeps_pages(person):
        return None
    slug, now = person.barn.slug, timezone.now()
    signed_in = person.user.last_login if person.user else None
    return {
        "slug": slug,
        "person": str(person.key),
        "name": person.name,
        "at": round(now.timestamp() * 1000),
        "signed_in_ms_ago": round((now - signed_in).total_seconds() * 1000) if signed_in else None,
        "zone": person.barn.time_zone,
        "due": page_url("due", slug),
        "kept": page_url("kept", slug),
        "send": page_url("send", slug),
        "words": {name: str(word) for name, word in WORDS.items()},
    }
