"""Who may do what to care jobs, batches, fees and mail; the journal's actions of care. Called by rules.register()."""

from django.db.models import Q

from barnrugs.barns import access, journal
from barnrugs.barns.models import Person
from barnrugs.barns.models.person import Role
from inventory.models import Batch, BatchLine, CareJob, CareMove, CareRules, FeeReason, FeeRule, MailChoice, MailSent


def of_my_blanket(person: Person) -> Q:
    return Q(blanket__owner=person)


def of_my_job(person: Person) -> Q:
    return Q(job__blanket__owner=person)


def my_own(person: Person) -> Q:
    return Q(person=person)


def register() -> None:
    theirs = {Role.OWNER: of_my_blanket}
    access.register(
        CareJob,
        see={**access.STAFF, **theirs},
        change={**access.MANAGER, **theirs},
        fix={**access.STAFF, **theirs},
        see_money={**access.MANAGER, **theirs},
    )
    access.register(CareMove, see={**access.STAFF, Role.OWNER: of_my_job})
    for model in (Batch, BatchLine, FeeRule, FeeReason):
        access.register(model, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    access.register(CareRules, see=access.EVERYBODY, change=access.MANAGER)
    everybody = dict.fromkeys(Role, my_own)
    access.register(MailChoice, see=everybody, change=everybody, add=access.EVERYBODY)
    access.register(MailSent, see={})
    _journal()


def _journal() -> None:
    journal.register("damage_reported", "{who} reported {blanket}: {part}; {use}.")
    journal.register("care_asked", "{who} asked for {kind} of {blanket}.")
    journal.register("care_decided", "{who} decided about {blanket}, {kind}: {decision}.", money=("limit",))
    journal.register("care_fixed", "{who} put a temporary fix on {blanket}; mend it by {until}.")
    journal.register("care_bagged", "{who} bagged {blanket} for {kind}.")
    journal.register("care_unbagged", "{who} took {blanket} out of the bag.")
    journal.register("care_handed_over", "{who} handed {blanket} to {sent_to} for {kind}.")
    journal.register("care_quoted", "{who} noted a quote for {blanket}, {kind}.", money=("quote", "limit"))
    journal.register("care_approved", "{who} approved the quote for {blanket}, {kind}.", money=("quote", "limit"))
    journal.register("care_declined", "{who} declined the quote for {blanket}, {kind}.", money=("quote",))
    journal.register("care_came_back", "{who} noted that {blanket} came back, unchecked.")
    journal.register("care_checked_in", "{who} checked {blanket} in, {kind}: {outcome}.", money=("cost",))
    journal.register("care_missing", "{who} missed {blanket} when the batch came back.")
    journal.register("care_done_here", "{who} finished {kind} of {blanket} in the barn.", money=("cost",))
    journal.register("blanket_lost", "{who} noted that {blanket} is lost.")
    journal.register("blanket_found", "{who} found {blanket} again.")
    journal.register("blanket_retired", "{who} retired {blanket}.")
    journal.register("blanket_marked_wet", "{who} found {blanket} wet and hung it to dry: {place}.")
    journal.register("batch_made", "{who} made batch {number} for {to_whom}: {count} pieces of work.")
    journal.register("batch_handed_over", "{who} handed batch {number} to {to_whom}.")
    journal.register("care_rules_changed", "{who} changed the house's rules for care.")
    journal.register("fee_rule_set", "{who} set a fee rule from {since}.", money=("monthly", "per_change", "reasons"))
    journal.register("blanket_stored", "{who} stored {blanket}: {place}.")
    journal.register("blanket_fetched", "{who} fetched {blanket} from storage.")
    journal.register("mail_chosen", "{who} chose which letters to get.")
