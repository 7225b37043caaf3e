from decimal import Decimal, InvalidOperation

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.layout import DayField
from barnrugs.barns.forms.once import OnceForm
from inventory.enums import FeeKind
from inventory.forms.care import MoneyField
from inventory.models import FeeRule

MOST = Decimal("999999.99")
CENT = Decimal("0.01")


class FeeRuleForm(OnceForm):
    since = DayField(
        label=gettext_lazy("From"),
        help_text=gettext_lazy("A rule from the same day is replaced; statements of days before it stay as they are."),
    )
    kind = forms.ChoiceField(label=gettext_lazy("How changes are charged"), choices=FeeKind.choices)
    monthly = MoneyField(
        label=gettext_lazy("A month for each horse"),
        help_text=gettext_lazy("Zero or empty if nothing is due by the month."),
    )
    per_change = MoneyField(
        label=gettext_lazy("For each change"), help_text=gettext_lazy("For each one above those included.")
    )
    included = forms.IntegerField(
        label=gettext_lazy("Changes included for each horse and day"),
        min_value=0,
        max_value=50,
        initial=2,
        help_text=gettext_lazy("Two is one on and one off. A swap is one change; layers put on together are one."),
    )
    reasons = forms.CharField(
        label=gettext_lazy("Reasons with a price of their own"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=gettext_lazy(
            "One a line, the reason, a colon and the price, for example “rider's wish: 3.00”. "
            "Zero means it is never charged."
        ),
    )

    def clean_reasons(self) -> list[tuple[str, Decimal]]:
        lines = [line.strip() for line in self.cleaned_data["reasons"].splitlines() if line.strip()]
        found = [_reason(line) for line in lines]
        words = [reason.casefold() for reason, _price in found]
        if len(set(words)) < len(words):
            raise forms.ValidationError(_("One reason stands there twice."))
        return found

    def rule(self) -> FeeRule:
        said = self.cleaned_data
        return FeeRule(
            since=said["since"],
            kind=said["kind"],
            monthly=said["monthly"] or Decimal(0),
            per_change=said["per_change"] or Decimal(0),
            included=said["included"],
        )


def _reason(line: str) -> tuple[str, Decimal]:
    words, _colon, price = line.rpartition(":")
    try:
        amount = Decimal(price.strip().replace(",", "."))
    except InvalidOperation:
        amount = Decimal("NaN")
    if not words.strip() or len(words.strip()) > 80 or not amount.is_finite() or not 0 <= amount <= MOST:
        raise forms.ValidationError(
            _("“%(line)s” is no reason with a price: write the reason, a colon and the price.") % {"line": line}
        )
    if amount != amount.quantize(CENT):
        raise forms.ValidationError(_("“%(line)s” has more than two decimal places.") % {"line": line})
    return words.strip(), amount.quantize(CENT)
