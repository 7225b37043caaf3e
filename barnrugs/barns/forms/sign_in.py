from typing import Any

from allauth.account.forms import LoginForm
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.forms.basis import Basis


class SignInForm(Basis, LoginForm):
    """allauth's form with visible labels instead of placeholders; the link for a lost password stands on the page."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["login"].label = _("Username or e-mail")
        self.fields["login"].widget.attrs.update({"autocomplete": "username", "autocapitalize": "none"})
        self.fields["password"].help_text = ""
        for field in self.fields.values():
            field.widget.attrs.pop("placeholder", None)
