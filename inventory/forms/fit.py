from datetime import date
from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns import access
from barnrugs.barns.forms.layout import DayField
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Barn, Person
from horses.models import Horse
from horses.queries.horse import of
from inventory.enums import Fit, RubPlace

NOWHERE = ("", gettext_lazy("Nowhere"))


def horses_of(person: Person) -> Any:
    return access.rows(person, Horse, among=of(person.barn).of_the_barn())


class FitForm(OnceForm):
    horse = forms.ModelChoiceField(
        label=gettext_lazy("On which horse"),
        queryset=Horse.objects.none(),
        help_text=gettext_lazy("A blanket may fit one horse and rub another."),
    )
    fit = forms.ChoiceField(
        label=gettext_lazy("How does it fit?"),
        choices=Fit.choices,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("Tight and too big are never offered again on this horse; fits stands above the sizes."),
    )
    rubs_where = forms.ChoiceField(
        label=gettext_lazy("Where does it rub?"),
        choices=[NOWHERE, *RubPlace.choices],
        required=False,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("Tap the drawing or choose below."),
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("What the next person should know: which hole, which strap, hair broken or skin sore."),
    )
    on = DayField(
        label=gettext_lazy("Day"),
        help_text=gettext_lazy("When it was tried; today unless you say so."),
    )

    def __init__(self, *args: Any, person: Person, today: date, horse: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        cast(forms.ModelChoiceField, self.fields["horse"]).queryset = horses_of(person)
        self.fields["horse"].initial = horse
        self.fields["on"].initial = today

    def clean(self) -> dict[str, Any]:
        """A place tapped on the drawing says that it rubs, whatever else was chosen before."""
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("rubs_where") and "fit" not in cleaned:
            self.errors.pop("fit", None)
            cleaned["fit"] = Fit.RUBS
        if cleaned.get("fit") == Fit.RUBS and not cleaned.get("rubs_where"):
            self.add_error("rubs_where", _("Where does it rub?"))
        if cleaned.get("fit") not in (Fit.RUBS, None) and cleaned.get("rubs_where"):
            self.add_error(
                "rubs_where", _("A place belongs to a rub only. Note the fit and the rub one after the other.")
            )
        return cleaned


class LendForm(OnceForm):
    to_whom = forms.CharField(
        label=gettext_lazy("To whom"), max_length=80, help_text=gettext_lazy("A name, and how to reach them.")
    )
    due_on = DayField(
        label=gettext_lazy("Due back"),
        required=False,
        help_text=gettext_lazy("From the day after, lists call it overdue."),
    )
    why = forms.CharField(
        label=gettext_lazy("Why"), max_length=200, required=False, help_text=gettext_lazy("For its log, if you like.")
    )


class BringBackForm(OnceForm):
    wet = forms.BooleanField(
        label=gettext_lazy("It is wet"), required=False, help_text=gettext_lazy("Then it dries before it is offered.")
    )
    place = forms.CharField(
        label=gettext_lazy("Where it hangs"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("Empty: on its rack."),
    )


class LeaveForm(OnceForm):
    """The horse is named, not chosen from a list: an owner need not see other people's horses to lend to one."""

    whom = forms.ChoiceField(
        label=gettext_lazy("Who may wear it"),
        choices=[("one", gettext_lazy("One horse")), ("any", gettext_lazy("Any horse of the barn"))],
        initial="one",
        widget=forms.RadioSelect,
        help_text=gettext_lazy("It is offered after the horse's own."),
    )
    horse = forms.CharField(
        label=gettext_lazy("For which horse"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("Its name, where it is for one horse."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    since = DayField(label=gettext_lazy("From"), help_text=gettext_lazy("The first day of the leave."))
    until = DayField(
        label=gettext_lazy("Until"),
        required=False,
        help_text=gettext_lazy("The last day; empty: until you end it."),
    )

    def __init__(self, *args: Any, barn: Barn, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["since"].initial = today
        self.barn, self.today = barn, today

    def clean_horse(self) -> Horse | None:
        name = self.cleaned_data["horse"]
        whom = self.cleaned_data.get("whom")
        if whom != "one":
            if name and whom == "any":
                raise forms.ValidationError(_("Any horse, or %(name)s only? Choose one."), params={"name": name})
            return None
        if not name:
            raise forms.ValidationError(_("Which horse? For all of them, choose any horse."))
        found = list(of(self.barn).of_the_barn().filter(name__iexact=name)[:2])
        if len(found) != 1:
            raise forms.ValidationError(
                _("Two horses here are called %(name)s: ask a manager.")
                if found
                else _("No horse here is called %(name)s."),
                params={"name": name},
            )
        return found[0]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        since, until = cleaned.get("since"), cleaned.get("until")
        if since and until and until < since:
            self.add_error("until", _("It cannot end before it began."))
        elif until and until < self.today:
            self.add_error("until", _("This day is past."))
        return cleaned
