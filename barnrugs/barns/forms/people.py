from typing import Any

from django import forms
from django.contrib.auth import password_validation
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.domain.invitations import Account, code_for
from barnrugs.barns.forms.basis import Form, ModelForm
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.forms.seen import SeenForm
from barnrugs.barns.models import Person, User
from barnrugs.barns.models.user import Language

ROLES = ("is_manager", "is_staff", "is_owner")


class PersonFields(Form):
    name = forms.CharField(
        label=gettext_lazy("Name"), max_length=80, help_text=gettext_lazy("As it stands on lists and in the journal.")
    )
    phone = forms.CharField(
        label=gettext_lazy("Telephone"),
        max_length=40,
        required=False,
        help_text=gettext_lazy("Only managers see it."),
        widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "off"}),
    )
    is_manager = forms.BooleanField(
        label=gettext_lazy("Manager"),
        required=False,
        help_text=gettext_lazy("Sets house rules, lets people in and out, sees everything."),
    )
    is_staff = forms.BooleanField(
        label=gettext_lazy("Staff"),
        required=False,
        help_text=gettext_lazy("Sees every horse and blanket, puts on and takes off."),
    )
    is_owner = forms.BooleanField(
        label=gettext_lazy("Owner"),
        required=False,
        help_text=gettext_lazy("Sees their own horses and blankets. Somebody who also works here has both parts."),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not any(cleaned.get(role) for role in ROLES):
            self.add_error("is_manager", _("Choose at least one part: manager, staff or owner."))
        return cleaned


class NewPersonForm(PersonFields, OnceForm):
    def values(self) -> dict[str, Any]:
        given = self.cleaned_data
        return {"name": given["name"], "phone": given["phone"], "roles": {role: given[role] for role in ROLES}}


class PersonForm(PersonFields, SeenForm):
    fields_shown = {name: name for name in ("name", "phone", *ROLES)}


class InvitationForm(OnceForm):
    email = forms.EmailField(
        label=gettext_lazy("E-mail address"),
        required=False,
        help_text=gettext_lazy("A letter with the code goes there. Leave it empty to print the code on a slip."),
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
    )

    @property
    def address(self) -> str:
        return str(self.cleaned_data["email"])

    def code_for(self, person: Person) -> str:
        return code_for(person, self.cleaned_data["once"])


class CodeForm(Form):
    code = forms.CharField(
        label=gettext_lazy("Code of the invitation"),
        max_length=60,
        help_text=gettext_lazy("Twenty letters and figures. Dashes, spaces and small letters make no difference."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}),
    )


class AcceptForm(ModelForm):
    """What somebody new signs in with from now on."""

    language = forms.ChoiceField(
        label=gettext_lazy("Language"),
        choices=Language.choices,
        initial=Language.ENGLISH,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("In which pages speak to you."),
    )
    password = forms.CharField(
        label=gettext_lazy("Password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        strip=False,
        help_text=gettext_lazy("Ten characters or more, not only figures. A few words in a row are easy to keep."),
    )
    again = forms.CharField(
        label=gettext_lazy("The password again"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        strip=False,
        help_text=gettext_lazy("So that a slip of the finger does not lock you out."),
    )

    class Meta:
        model = User
        fields = ("username", "email", "language")
        labels = {
            "username": gettext_lazy("Name to sign in with"),
            "email": gettext_lazy("E-mail address"),
        }
        help_texts = {
            "username": gettext_lazy("Letters, figures and . + - _ only."),
            "email": gettext_lazy("If you like: then you can get a new password by letter when you forget it."),
        }
        widgets = {"username": forms.TextInput(attrs={"autocomplete": "username"})}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        password, again = cleaned.get("password"), cleaned.get("again")
        if password and again and password != again:
            self.add_error("again", _("The two passwords differ."))
        return cleaned

    def _post_clean(self) -> None:
        super()._post_clean()  # type: ignore[misc]  # Django's own hook, which the stubs leave out
        if password := self.cleaned_data.get("password"):
            try:
                password_validation.validate_password(password, self.instance)
            except forms.ValidationError as error:
                self.add_error("password", error)

    def account(self) -> Account:
        given = self.cleaned_data
        return Account(given["username"], given["password"], given["email"], given["language"])


class LanguageForm(Form):
    language = forms.ChoiceField(
        label=gettext_lazy("Language"),
        choices=Language.choices,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("In which pages speak to you, in every barn."),
    )
