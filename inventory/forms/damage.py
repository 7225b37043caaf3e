from collections.abc import Iterable, Sequence
from typing import Any, cast

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy

from inventory.enums import DamagedPart
from inventory.forms.care import note_field, offer
from inventory.forms.pictures import PictureMayFail
from inventory.models import Blanket

USABLE = "usable"
DO_NOT_USE = "do_not_use"


class DamageForm(PictureMayFail):
    """Two taps: what is wrong, then one of the two buttons. A note and a picture may follow, and need not."""

    part = forms.ChoiceField(
        label=gettext_lazy("What is wrong?"),
        choices=DamagedPart.choices,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose what is wrong.")},
    )
    use = forms.ChoiceField(
        label=gettext_lazy("Can it still be used?"),
        widget=forms.RadioSelect,
        choices=[(USABLE, gettext_lazy("Still usable")), (DO_NOT_USE, gettext_lazy("Do not use"))],
        error_messages={"required": gettext_lazy("Say whether it can still be used.")},
    )
    note = note_field()


class HorseDamageForm(DamageForm):
    """The same from the horse that wears it, or whose it is."""

    blanket = forms.ModelChoiceField(
        label=gettext_lazy("Which blanket?"),
        queryset=Blanket.objects.none(),
        error_messages={"required": gettext_lazy("Choose which blanket.")},
        widget=forms.RadioSelect,
        empty_label=None,
    )

    def __init__(
        self, *args: Any, worn: Sequence[Blanket], own: Iterable[Blanket], among: "QuerySet[Blanket]", **kwargs: Any
    ) -> None:
        """Offers what the horse wears, else its own; takes what it wore when the page was shown."""
        super().__init__(*args, **kwargs)
        offer(self, "blanket", among)
        self.wears_nothing = not worn
        shown = [(blanket.pk, blanket.tag) for blanket in worn]
        shown = shown or [(blanket.pk, f"{blanket.tag} {blanket.get_kind_display()}") for blanket in own]
        cast(forms.ModelChoiceField, self.fields["blanket"]).choices = shown
        self.fields["blanket"].initial = shown[-1][0] if worn else None
