"""What stands in the way of a step, each as a refusal in a sentence."""

from datetime import date, timedelta
from decimal import Decimal

from django.utils import formats, timezone
from django.utils.translation import gettext as _

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.enums import CareKind, CareWord, Keeping
from inventory.models import Blanket, CareJob, CareMove, Placing
from inventory.models.care import TRAVELLING
from inventory.queries import care, wearings


def day(actor: Actor) -> date:
    """The day in the barn's own zone on which it was done."""
    return timezone.localtime(actor.at, actor.barn.zone).date()


def refuse_past(due_on: date | None, actor: Actor) -> None:
    """A day on which something is due back lies ahead."""
    if due_on and due_on < day(actor):
        raise Refused(_("It cannot be due back before today."), field="due_on")


def refuse_worn(blanket: Blanket) -> None:
    worn = wearings.open_of(blanket)
    if worn:
        raise Refused(_("%(blanket)s is on %(horse)s. Take it off first.") % {"blanket": blanket, "horse": worn.horse})


def refuse_gone(blanket: Blanket) -> None:
    gone = _kept(blanket, Keeping.LOST, Keeping.RETIRED)
    if gone:
        raise Refused(_("%(blanket)s is marked “%(where)s”.") % {"blanket": blanket, "where": gone.get_kind_display()})


def refuse_elsewhere(blanket: Blanket) -> None:
    """A blanket that is lent or at home cannot go into a bag here."""
    elsewhere = _kept(blanket, Keeping.LENT, Keeping.HOME, Keeping.LOST, Keeping.RETIRED)
    if elsewhere:
        raise Refused(
            _("%(blanket)s is not here: %(where)s.") % {"blanket": blanket, "where": elsewhere.get_kind_display()}
        )


def _kept(blanket: Blanket, *kinds: Keeping) -> Placing | None:
    return Placing.objects.filter(blanket=blanket, until__isnull=True, kind__in=kinds).first()


def refuse_unwashed(job: CareJob, *, along: bool = False) -> None:
    """Wash comes first. `along`: a wash that travels in the same bag counts, for it is done before the rest."""
    if care.washed_since_worn(job.blanket):
        return
    wash = care.on(job.blanket).open().filter(kind=CareKind.WASH)
    if along and wash.filter(step__in=TRAVELLING).exists():
        return
    raise Refused(
        _("Wash comes first: %(blanket)s was not washed since it was last worn. Bag its wash along, or have it washed.")
        % {"blanket": job.blanket}
    )


def refuse_unmended(blanket: Blanket, *, along: bool = False) -> None:
    """Waterproofing runs off again at an open tear, unless the tear is mended on the same way before it."""
    for tear in care.on(blanket).open_tears():
        mended_before = tear.step in TRAVELLING if along else care.decided_to_mend(tear)
        if not mended_before:
            raise Refused(
                _("%(blanket)s has an open tear (%(part)s, reported %(day)s). Have it mended before waterproofing.")
                % {
                    "blanket": blanket,
                    "part": tear.get_part_display() or CareKind(tear.kind).label,
                    "day": formats.date_format(timezone.localtime(tear.reported_at), "j M"),
                }
            )


def refuse_ignoring_silently(job: CareJob, note: str) -> None:
    if job.do_not_use and not note.strip():
        raise Refused(
            _("%(blanket)s is marked do not use. Say why it may be used after all.") % {"blanket": job.blanket},
            field="note",
        )


def refuse_others_money(job: CareJob, actor: Actor) -> None:
    """An owner decides about, and writes down sums of, only what the same owner pays."""
    if not actor.person.is_manager and not care.decides(actor.person, job):
        raise Refused(_("%(payer)s pays for this and decides.") % {"payer": job.payer or _("The barn")})


def refuse_spending(job: CareJob, actor: Actor, note: str) -> None:
    """Above the limit the payer decides; a manager may write down the payer's word, with how it was given."""
    refuse_others_money(job, actor)
    if not care.decides(actor.person, job) and not note.strip():
        raise Refused(
            _("%(payer)s pays for this. Ask, and write here how %(payer)s answered.") % {"payer": job.payer},
            field="note",
        )


def agreement(job: CareJob, cost: Decimal | None, approved_by: str) -> str:
    """What a check-in's note says of a cost above what was allowed; refused where nobody is named who approved it.

    cost in the barn's currency. Empty where it is within the limit or an approved quote, or no limit is set.
    """
    allowed = _allowed(job)
    if cost is None or allowed is None or cost <= allowed:
        return ""
    sums = {"cost": cost, "above": cost - allowed, "allowed": allowed}
    figures = {name: f"{amount:.2f}" for name, amount in sums.items()} | {"who": approved_by.strip()}
    if not approved_by.strip():
        raise Refused(
            _("%(cost)s is %(above)s above what was allowed (%(allowed)s): say who approved it.") % figures,
            field="approved_by",
        )
    return _("%(above)s above the limit: approved by %(who)s.") % figures


def joined(agreed: str, note: str) -> str:
    """The agreement before the note; refused where both together are longer than a note may be."""
    whole = f"{agreed} {note}".strip()
    longest = CareMove._meta.get_field("note").max_length or 0
    if len(whole) > longest:
        raise Refused(
            _("With who approved it the note is %(many)d characters too long.") % {"many": len(whole) - longest},
            field="note",
        )
    return whole


def _allowed(job: CareJob) -> Decimal | None:
    """What might be spent unasked, or the quote that was approved if that is more; None where no limit was set."""
    spoken = (CareWord.DECIDE, CareWord.QUOTE, CareWord.APPROVE, CareWord.DECLINE)
    last = job.moves.filter(word__in=spoken).order_by("-pk").first()
    if job.limit is None or job.quote is None or last is None or last.word != CareWord.APPROVE:
        return job.limit
    return max(job.limit, job.quote)


def refuse_wet(blanket: Blanket, actor: Actor) -> None:
    dries_until = actor.at - timedelta(hours=actor.barn.drying_hours)
    wet = Placing.objects.filter(blanket=blanket, until__isnull=True, kind=Keeping.DRYING, since__gt=dries_until)
    if wet.exists():
        raise Refused(_("%(blanket)s is still wet. If it feels dry, mark it dry first.") % {"blanket": blanket})
