"""What stands in the way of a step, each as a refusal in a sentence."""

from datetime import date, timedelta
from decimal import Decimal

from django.utils import formats, timezone
from django.utils.translation import gettext as _

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.enums import CareKind, CareWord, Keeping
from inventory.models import Blanket, CareJob, Placing
from inventory.models.care import TRAVELLING
from inventory.queries import care, wearings


def day(actor: Actor) -> date:
    """The day in the barn's own zone on which it was done."""
    return timezone.localtime(actor.at, actor.barn.zone).date()


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


def refuse_spending(job: CareJob, actor: Actor, note: str) -> None:
    """Above the limit the payer decides; a manager may write down the payer's word, with how it was given."""
    if care.decides(actor.person, job):
        return
    if not actor.person.is_manager:
        raise Refused(_("%(payer)s pays for this and decides.") % {"payer": job.payer or _("The barn")})
    if not note.strip():
        raise Refused(
            _("%(payer)s pays for this. Ask, and write here how %(payer)s answered.") % {"payer": job.payer},
            field="note",
        )


def refuse_dearer(job: CareJob, cost: Decimal | None, note: str) -> None:
    """What cost more than might be spent unasked was agreed by an approved quote, or a note says how."""
    within = cost is None or job.limit is None or cost <= job.limit
    if within or note.strip() or _approved(job, cost):
        return
    raise Refused(_("It cost more than the sum to ask above. Write here how it was agreed."), field="note")


def _approved(job: CareJob, cost: Decimal | None) -> bool:
    spoken = (CareWord.DECIDE, CareWord.QUOTE, CareWord.APPROVE, CareWord.DECLINE)
    last = job.moves.filter(word__in=spoken).order_by("-pk").first()
    agreed = last is not None and last.word == CareWord.APPROVE
    return agreed and cost is not None and job.quote is not None and cost <= job.quote


def refuse_wet(blanket: Blanket, actor: Actor) -> None:
    dries_until = actor.at - timedelta(hours=actor.barn.drying_hours)
    wet = Placing.objects.filter(blanket=blanket, until__isnull=True, kind=Keeping.DRYING, since__gt=dries_until)
    if wet.exists():
        raise Refused(_("%(blanket)s is still wet. If it feels dry, mark it dry first.") % {"blanket": blanket})
