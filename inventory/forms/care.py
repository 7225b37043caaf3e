import re
from decimal import Decimal
from typing import Any, ClassVar, Self, cast

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns import access
from barnrugs.barns.forms.layout import DayField, decimal
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.forms.seen import SeenForm
from barnrugs.barns.models import Person
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome, DamagedPart
from inventory.forms.pictures import PictureField
from inventory.models import Blanket, CareJob, CareRules
from inventory.queries import care

DECISIONS = [(word.value, word.label) for word in CareDecision]
OUTCOMES = [(word.value, word.label) for word in CheckOutcome if word != CheckOutcome.MISSING]


class MoneyField(forms.DecimalField):
    """A sum as people write it, with a point or a comma; never a float."""

    def __init__(self, *, label: Any, required: bool = False, help_text: Any = "") -> None:
        super().__init__(
            label=label,
            required=required,
            help_text=help_text,
            max_digits=8,
            decimal_places=2,
            min_value=Decimal(0),
            widget=decimal(),
        )

    def to_python(self, value: Any) -> Decimal | None:  # type: ignore[override]  # the stubs derive it from integers
        return super().to_python(_ungrouped(value.strip()).replace(",", ".") if isinstance(value, str) else value)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {}


GROUPED = re.compile(r"[0-9]{1,3}(?:(,)[0-9]{3}(?:,[0-9]{3})*\.|(\.)[0-9]{3}(?:\.[0-9]{3})*,)[0-9]{1,2}")


def _ungrouped(written: str) -> str:
    """Without what groups thousands, where both signs stand; one alone may be either, and is read as decimal."""
    grouped = GROUPED.fullmatch(written)
    return written.replace(grouped[1] or grouped[2], "") if grouped else written


def offer(form: forms.Form, name: str, choices: "QuerySet[Any]") -> None:
    """Sets what a field of records offers, once it is known who asks."""
    cast(forms.ModelChoiceField, form.fields[name]).queryset = choices


def note_field() -> forms.CharField:
    return forms.CharField(
        label=gettext_lazy("Note"),
        required=False,
        max_length=300,
        help_text=gettext_lazy("In a few words; it stays in the log."),
    )


def damaged_part_field() -> forms.ChoiceField:
    return forms.ChoiceField(
        label=gettext_lazy("If damaged: what"),
        required=False,
        choices=[("", gettext_lazy("Choose the part")), *DamagedPart.choices],
    )


def approved_by_field() -> forms.CharField:
    return forms.CharField(
        label=gettext_lazy("If above the limit: who approved it"),
        required=False,
        max_length=80,
        help_text=gettext_lazy("A name, and how: by telephone, in a letter."),
    )


class StepForm(OnceForm):
    """What is asked with one step; fields that do not belong to it are left out. `turn` is the job as it was shown."""

    FIELDS: ClassVar[dict[CareWord, tuple[str, ...]]] = {
        CareWord.DECIDE: ("decision", "limit", "payer", "note"),
        CareWord.FIX: ("until", "usable", "note", "picture"),
        CareWord.BAG: (),
        CareWord.UNBAG: (),
        CareWord.HAND_OVER: ("sent_to", "due_on", "note"),
        CareWord.QUOTE: ("quote", "note", "paper"),
        CareWord.APPROVE: ("note",),
        CareWord.DECLINE: ("note",),
        CareWord.COME_BACK: (),
        CareWord.CHECK_IN: ("outcome", "part", "cost", "approved_by", "note", "picture", "paper"),
        CareWord.MISS: ("note",),
        CareWord.DO_HERE: ("cost", "approved_by", "note", "picture", "paper"),
        CareWord.LOSE: ("note",),
        CareWord.FIND: ("note",),
        CareWord.RETIRE: ("note",),
    }

    turn = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    decision = forms.ChoiceField(label=gettext_lazy("What is to be done"), choices=DECISIONS, widget=forms.RadioSelect)
    until = DayField(
        label=gettext_lazy("Mend it by"),
        help_text=gettext_lazy("The temporary fix shows on every page until then, and is overdue after."),
    )
    usable = forms.BooleanField(
        label=gettext_lazy("With this fix it can be used"),
        required=False,
        help_text=gettext_lazy("Without the tick a blanket marked do not use stays so."),
    )
    sent_to = forms.CharField(
        label=gettext_lazy("To whom"), max_length=80, help_text=gettext_lazy("The cleaner or repairer.")
    )
    due_on = DayField(
        label=gettext_lazy("Due back"),
        required=False,
        help_text=gettext_lazy("A week is usual, two when they are busy."),
    )
    quote = MoneyField(
        label=gettext_lazy("Quoted"),
        required=True,
        help_text=gettext_lazy("Up to the limit it goes ahead; above it, who pays is asked."),
    )
    outcome = forms.ChoiceField(
        label=gettext_lazy("Against what was asked"), choices=OUTCOMES, widget=forms.RadioSelect
    )
    part = damaged_part_field()
    cost = MoneyField(
        label=gettext_lazy("Cost"), help_text=gettext_lazy("As on the bill; empty if nothing was charged.")
    )
    approved_by = approved_by_field()
    limit = MoneyField(
        label=gettext_lazy("Ask above"),
        help_text=gettext_lazy("They may go ahead up to this sum. Empty: ask before any work that costs."),
    )
    payer = forms.ModelChoiceField(
        label=gettext_lazy("Who pays"),
        queryset=Person.objects.none(),
        required=False,
        empty_label=gettext_lazy("The barn"),
    )
    note = note_field()
    picture = PictureField(
        required=False,
        label=gettext_lazy("Picture"),
        help_text=gettext_lazy("Of the blanket; staff see it, so no bill here."),
    )
    paper = PictureField(
        required=False,
        label=gettext_lazy("Picture of the bill or quote"),
        help_text=gettext_lazy("Only managers and the blanket's owner see it."),
    )

    def __init__(self, *args: Any, job: CareJob, word: CareWord, person: Person, **kwargs: Any) -> None:
        initial = {"turn": job.turn, "payer": job.payer_id, "limit": job.limit, "decision": job.decision}
        super().__init__(*args, **{**kwargs, "initial": initial | (kwargs.get("initial") or {})})
        kept = {"once", "turn", *self.FIELDS[word]}
        if not person.is_manager:
            kept.discard("payer")
        if word == CareWord.FIX and not access.may(person, "change", job):
            kept.discard("usable")
        for name in set(self.fields) - kept:
            del self.fields[name]
        self.order_fields(["once", "turn", *self.FIELDS[word]])
        self._dress(job, person)

    def _dress(self, job: CareJob, person: Person) -> None:
        if "payer" in self.fields:
            people = Person.objects.filter(barn=person.barn, left_at__isnull=True, is_owner=True)
            offer(self, "payer", people)
        if "outcome" in self.fields and job.kind == CareKind.REPAIR:
            del self.fields["part"]
        if "approved_by" in self.fields and job.limit is None:
            del self.fields["approved_by"]
        if "decision" in self.fields and not access.may(person, "change", job):
            self._offer_decisions(without=CareDecision.RETIRE)
        if "decision" in self.fields and job.step == CareStep.REPORTED:
            usual = {CareKind.WASH: "wash", CareKind.REPAIR: "repair", CareKind.WATERPROOFING: "waterproof"}
            self.fields["decision"].initial = usual[CareKind(job.kind)]

    def _offer_decisions(self, *, without: CareDecision) -> None:
        """Who only pays decides about the work, not about the blanket."""
        field = cast(forms.ChoiceField, self.fields["decision"])
        field.choices = [choice for choice in DECISIONS if choice[0] != without]

    def details(self) -> Details:
        said = self.cleaned_data
        known = {name: said[name] for name in Details.__dataclass_fields__ if said.get(name) not in {None, ""}}
        return Details(**known, names_payer="payer" in self.fields)


class AskForm(OnceForm):
    """Asking for work without damage to report."""

    kind = forms.ChoiceField(label=gettext_lazy("Work"), choices=CareKind.choices, widget=forms.RadioSelect)
    note = note_field()


class ManyForm(OnceForm):
    """One action on many jobs at once, or asking for waterproofing of many blankets.

    Work that is over by now is taken too: the form sent again is answered again, and the domain refuses the rest.
    """

    act = forms.ChoiceField(
        choices=[*DECISIONS, ("bag", gettext_lazy("Bag")), ("ask_proofing", gettext_lazy("Ask for waterproofing"))]
    )
    jobs = forms.ModelMultipleChoiceField(queryset=CareJob.objects.none(), required=False)
    blankets = forms.ModelMultipleChoiceField(queryset=Blanket.objects.none(), required=False)
    limit = MoneyField(
        label=gettext_lazy("Ask above"),
        help_text=gettext_lazy("They may go ahead up to this sum. Empty: ask before any work that costs."),
    )

    def __init__(self, *args: Any, person: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "jobs", access.rows(person, CareJob, "change"))
        offer(self, "blankets", access.rows(person, Blanket, "change"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not cleaned.get("jobs") and not cleaned.get("blankets") and not self.errors:
            raise forms.ValidationError(_("Tick at least one line first."))
        return cleaned


class CareRulesForm(SeenForm):
    fields_shown: ClassVar = {
        name: name for name in ("leaks_until_proofing", "days_to_decide", "replace_share", "season_month")
    }

    leaks_until_proofing = forms.IntegerField(
        label=gettext_lazy("Leaks until waterproofing is due"),
        min_value=1,
        max_value=20,
        help_text=gettext_lazy("After so many reported leaks it is due, however new it is."),
    )
    days_to_decide = forms.IntegerField(
        label=gettext_lazy("Days until a waiting decision is overdue"),
        min_value=1,
        max_value=90,
        help_text=gettext_lazy("Counted from the report; then the managers get a letter."),
    )
    replace_share = forms.IntegerField(
        label=gettext_lazy("Repair or replace: per cent of the price"),
        min_value=1,
        max_value=500,
        help_text=gettext_lazy("From this share of its price on, the queues ask whether to replace a blanket."),
    )
    season_month = forms.IntegerField(
        label=gettext_lazy("Month in which the season begins"),
        min_value=1,
        max_value=12,
        help_text=gettext_lazy("1 to 12. What was worn since its first day counts as worn this season."),
    )

    def after_refusal(self) -> Self:
        """Rules that were the defaults until now have no record of their own to compare with."""
        fresh = care.rules(cast(CareRules, self.record).barn)
        self.record = fresh
        return super().after_refusal() if fresh.pk else self
