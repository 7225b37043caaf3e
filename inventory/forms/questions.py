from django import forms
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.forms.once import OnceForm
from inventory.enums import QuestionAnswer


class AnswerForm(OnceForm):
    answer = forms.ChoiceField(
        choices=QuestionAnswer.choices, error_messages={"required": _("Choose one of the two answers.")}
    )
