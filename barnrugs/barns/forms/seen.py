"""Forms that change a record somebody else may be changing too: they carry what was seen, and lose nothing typed."""

from collections.abc import Mapping
from typing import Any, ClassVar, Self, cast

from django import forms
from django.core import signing
from django.db.models import Model
from django.forms.models import model_to_dict
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.domain import editing
from barnrugs.barns.forms.once import OnceForm

SALT = "barnrugs.seen"


class SeenForm(OnceForm):
    """Give `record`, and name in `fields_shown` each model field with the form field that shows it.

    values() answers the model's values from what was typed; initial_of(record) what the form shows of a record.
    """

    fields_shown: ClassVar[Mapping[str, str]] = {}

    seen = forms.CharField(
        widget=forms.HiddenInput,
        error_messages={"required": gettext_lazy("This form lost what it had seen. Please open the page again.")},
    )

    def __init__(self, *args: Any, record: Model, **kwargs: Any) -> None:
        self.record = record
        self.given = kwargs.copy()
        super().__init__(*args, **{**kwargs, "initial": {**self.initial_of(record), **(kwargs.get("initial") or {})}})
        self.fields["seen"].initial = self._sealed(record)

    def initial_of(self, record: Model) -> dict[str, Any]:
        return model_to_dict(record, fields=list(self.fields_shown))

    def values(self) -> dict[str, Any]:
        """What was left alone stays exactly as it is, also where the form shows it rounded or in other units."""
        changed = set(self.changed_data)
        return {
            name: self.stored(name, self.cleaned_data[shown_in]) if shown_in in changed else getattr(self.record, name)
            for name, shown_in in self.fields_shown.items()
        }

    def stored(self, name: str, value: Any) -> Any:
        """A changed value as the model keeps it, where that differs from what the form's field answers."""
        return value

    def clean_seen(self) -> dict[str, Any]:
        try:
            seen: dict[str, Any] = signing.loads(self.cleaned_data["seen"], salt=SALT)
        except signing.BadSignature:
            raise forms.ValidationError(_("What this form had seen is damaged. Please open the page again.")) from None
        if seen.keys() != set(self.fields_shown):
            raise forms.ValidationError(_("This form is of an older kind. Please open the page again."))
        return seen

    def after_refusal(self) -> Self:
        """This form, or, where somebody else changed the record meanwhile, one that shows both sides.

        What this person changed stays as typed; what they left alone takes the value that stands now.
        """
        fresh = type(self.record)._default_manager.get(pk=self.record.pk)
        seen = self.cleaned_data.get("seen", {})
        meanwhile = editing.differing(fresh, seen)
        if not meanwhile:
            return self
        form = type(self)(self._caught_up(fresh, seen, meanwhile), record=fresh, **self.given)
        form.full_clean()
        form.add_error(None, self.non_field_errors())
        for change in meanwhile:
            form.add_error(
                self.fields_shown[change.name],
                _("Somebody else changed this from %(was)s to %(now)s.") % {"was": change.was, "now": change.is_now},
            )
        return form

    def _caught_up(self, fresh: Model, seen: dict[str, Any], meanwhile: list[editing.Meanwhile]) -> QueryDict:
        was, is_now = self.initial_of(editing.restored(fresh, seen)), self.initial_of(fresh)
        data = cast(QueryDict, self.data).copy()
        data["seen"] = self._sealed(fresh)
        for name in {self.fields_shown[change.name] for change in meanwhile}:
            field = self.fields[name]
            typed = field.widget.value_from_datadict(self.data, self.files, name)
            if not field.has_changed(was.get(name), typed):
                _put(data, name, field, is_now.get(name))
        return data

    def _sealed(self, record: Model) -> str:
        return signing.dumps(editing.snapshot(record, list(self.fields_shown)), salt=SALT, compress=True)


def _put(data: QueryDict, name: str, field: forms.Field, value: Any) -> None:
    data.pop(name, None)
    if isinstance(field, forms.BooleanField):
        if value:
            data[name] = "on"
        return
    value = field.prepare_value(value)
    if not isinstance(field, forms.ChoiceField | forms.ModelChoiceField):
        value = field.widget.format_value(value)
    data[name] = "" if value is None else str(value)
