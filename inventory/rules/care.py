"""Who may do what to care jobs, batches, fees and mail; the journal's actions of care."""

from collections.abc import Mapping
from typing import Any

from django.db.models import Q, TextChoices
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from barnrugs.barns.models import Person
from barnrugs.barns.models.person import Role
from inventory.enums import CareDecision, CareKind, CheckOutcome, DamagedPart
from inventory.models import (
    Batch,
    BatchLine,
    CareJob,
    CareMove,
    CareRules,
    FeeReason,
    FeeRule,
    MailChoice,
    MailSent,
    Paper,
)
from inventory.rules.blankets import my_own, of_my_blanket


def reported_by_me(person: Person) -> Q:
    return Q(reported_by=person)


def paid_by_me(person: Person) -> Q:
    return of_my_blanket(person) | Q(payer=person)


def of_my_job(person: Person) -> Q:
    return Q(job__blanket__owner=person)


def register() -> None:
    theirs = {Role.OWNER: of_my_blanket}
    access.register(
        CareJob,
        see={**access.STAFF, Role.OWNER: lambda person: paid_by_me(person) | reported_by_me(person)},
        change={**access.MANAGER, **theirs},
        fix={**access.STAFF, **theirs},
        approve={**access.MANAGER, Role.OWNER: paid_by_me},
        see_money={**access.MANAGER, Role.OWNER: paid_by_me},
    )
    access.register(
        Paper,
        see={
            **access.MANAGER,
            Role.OWNER: lambda person: Q(move__job__blanket__owner=person) | Q(move__job__payer=person),
        },
    )
    access.register(
        CareMove,
        see={**access.STAFF, Role.OWNER: of_my_job},
        see_money={**access.MANAGER, Role.OWNER: lambda person: of_my_job(person) | Q(job__payer=person)},
    )
    for model in (Batch, BatchLine, FeeRule, FeeReason):
        access.register(model, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    access.register(CareRules, see=access.EVERYBODY, change=access.MANAGER)
    everybody = dict.fromkeys(Role, my_own)
    access.register(MailChoice, see=everybody, change=everybody, add=access.EVERYBODY)
    access.register(MailSent, see={})
    _journal()


MONEY = ("limit", "quote", "cost", "note", "payer")
"""In entries of these steps the note goes with the money: people write sums into it."""


def tell_step(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, str]:
    """Words for the codes of a step, and what of its money and note the reader may see."""
    amount = after.get("cost") or after.get("quote")
    return {
        "kind": _label(CareKind, after.get("kind")),
        "part": _label(DamagedPart, after.get("part")),
        "decision": _label(CareDecision, after.get("decision")),
        "outcome": _label(CheckOutcome, after.get("outcome")),
        "use": gettext("do not use") if after.get("do_not_use") else gettext("still usable"),
        "amount": f" ({amount})" if amount else "",
        "said": f" “{after['note']}”" if after.get("note") else "",
    }


def _label(words: type[TextChoices], code: Any) -> str:
    return str(words(code).label).lower() if code in words.values else "…"


def _journal() -> None:
    def step(name: str, sentence: str, money: tuple[str, ...] = MONEY) -> None:
        journal.register(name, sentence, money=money, tell=tell_step)

    step("damage_reported", _("{who} reported {blanket}: {part}; {use}."))
    step("care_asked", _("{who} asked for work on {blanket}: {kind}."))
    step("care_decided", _("{who} decided about {blanket} ({kind}): {decision}.{said}"))
    step("care_fixed", _("{who} put a temporary fix on {blanket}, to be mended by {until}.{said}"), ())
    step("care_bagged", _("{who} bagged {blanket}: {kind}.{said}"), ())
    step("care_unbagged", _("{who} took {blanket} out of the bag.{said}"), ())
    step("care_handed_over", _("{who} handed {blanket} to {sent_to}: {kind}.{said}"))
    step("care_quoted", _("{who} noted a quote for {blanket} ({kind}){amount}.{said}"))
    step("care_approved", _("{who} approved the quote for {blanket} ({kind}){amount}.{said}"))
    step("care_declined", _("{who} declined the quote for {blanket} ({kind}){amount}.{said}"))
    step("care_answer_taken_back", _("{who} took back the answer to the quote for {blanket} ({kind}){amount}."))
    step("care_came_back", _("{who} noted that {blanket} is back, unchecked.{said}"), ())
    step("care_checked_in", _("{who} checked {blanket} in ({kind}): {outcome}{amount}.{said}"))
    step("care_check_taken_back", _("{who} took back the check-in of {blanket} ({kind}): {outcome}{amount}."))
    step("care_missing", _("{who} missed {blanket} when the batch came back ({kind}).{said}"), ())
    step("care_done_here", _("{who} finished work on {blanket} in the barn: {kind}{amount}.{said}"))
    journal.register("blanket_lost", _("{who} noted that {blanket} is lost."))
    journal.register("blanket_found", _("{who} found {blanket} again."))
    step("blanket_retired", _("{who} retired {blanket}.{said}"))
    journal.register("blanket_marked_wet", _("{who} found {blanket} wet and hung it to dry."))
    step("batch_made", _("{who} made batch {number} for {to_whom}.{said}"), ("note",))
    journal.register("batch_handed_over", _("{who} handed batch {number} to {to_whom}."))
    journal.register("care_rules_changed", _("{who} changed the house's rules for care."))
    journal.register(
        "fee_rule_set", _("{who} set a fee rule from {since}."), money=("monthly", "per_change", "reasons")
    )
    journal.register("blanket_stored", _("{who} stored {blanket}."))
    journal.register("blanket_fetched", _("{who} fetched {blanket} from storage."))
    journal.register("mail_chosen", _("{who} chose which letters to get."))
