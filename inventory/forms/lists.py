"""Forms of the lists: done, something else, not done, all done here, a note, the weather by hand."""

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_noop
from django.utils.translation import gettext_lazy as _

from barnrugs.barns import access
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Barn, Person
from barnrugs.barns.models.barn import Units
from barnrugs.matching import units
from barnrugs.matching.words import PrecipKind
from horses.models import Horse
from inventory.domain.advice import WIND_MS, Conditions
from inventory.forms.conditions import AIR_HELP, FALLING, WINDS, air_c
from inventory.forms.drying import CameOffForm
from inventory.forms.wearing import object_to
from inventory.models import Blanket, ListLine

BY_TAG = "by_tag"

OTHER_REASONS = (
    gettext_noop("The blanket on the list was wet"),
    gettext_noop("The blanket on the list was not to be found"),
    gettext_noop("The blanket on the list was torn or broken"),
    gettext_noop("It felt warm under the blanket"),
    gettext_noop("It felt cold under the blanket"),
    gettext_noop("The weather is not as forecast"),
    gettext_noop("The owner asked for it"),
)
NOT_DONE_REASONS = (
    gettext_noop("The horse was not here"),
    gettext_noop("The horse would not let me"),
    gettext_noop("The blanket on the list was not to be found"),
    gettext_noop("The blanket on the list was wet"),
    gettext_noop("The blanket on the list was torn or broken"),
    gettext_noop("It felt warm under the blanket"),
    gettext_noop("It felt right as it was"),
    gettext_noop("There was no time"),
    gettext_noop("It needs two people"),
)
"""Kept in English with the line, and shown in the reader's language."""


def why_in_words(why: str) -> str:
    """A reason that was picked, in the reader's language, with what was typed after it."""
    picked, colon, more = why.partition(": ")
    if picked in OTHER_REASONS or picked in NOT_DONE_REASONS:
        return f"{gettext(picked)}{colon}{more}"
    return why


def _reasons(known: Sequence[str]) -> list[tuple[str, Any]]:
    return [(reason, _(reason)) for reason in known]


class WhyForm(OnceForm):
    """A reason picked, or typed, or both."""

    reason = forms.ChoiceField(label=_("Why"), widget=forms.RadioSelect, required=False)
    more = forms.CharField(
        label=_("In your own words"), required=False, max_length=100, help_text=_("Where none of these says it.")
    )
    known: Sequence[str] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].choices = _reasons(self.known)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or {}
        if not values.get("reason") and not values.get("more") and not self.errors:
            self.add_error("reason", gettext("Say why, so that the owner and the next shift know."))
        values["why"] = ": ".join(part for part in (values.get("reason"), values.get("more")) if part)
        return values


class NotDoneForm(WhyForm):
    known = NOT_DONE_REASONS


class DoneForm(CameOffForm):
    """shown: what the line said to whoever tapped."""

    shown = forms.CharField(required=False, max_length=100, widget=forms.HiddenInput)


class OtherForm(CameOffForm, WhyForm):
    """Which instead, and why: one of the next best, or any by its tag."""

    known = OTHER_REASONS
    instead = forms.ChoiceField(label=_("Which instead"), widget=forms.RadioSelect)
    tags = forms.CharField(
        label=_("Tags"),
        required=False,
        max_length=40,
        help_text=_("The one next to the coat first, a space between."),
    )
    field_order = ("once", "instead", "tags", "reason", "more", "wet", "place")

    def __init__(
        self, data: Any, *, person: Person, offered: Sequence[tuple[str, str]], horse: Horse | None = None
    ) -> None:
        """horse: for whom; None in a form that is only kept for later."""
        self.person, self.horse = person, horse
        super().__init__(data)
        self.fields["instead"].choices = [  # type: ignore[attr-defined]
            *offered,
            (BY_TAG, gettext("Another one, by its tag")),
        ]

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        choice = values.get("instead", "")
        tags, _neck, neck = (values.get("tags", "").upper(), "", "") if choice == BY_TAG else choice.partition("|")
        values["neck"] = neck == "neck"
        values["to"] = self._blankets(tags.split())
        if choice == BY_TAG and not tags and not self.errors:
            self.add_error("tags", gettext("Say which, by its tag."))
        if choice == BY_TAG and self.horse and not values.get("more", "").strip():
            object_to(self, "more", self.horse, values["to"], self.person)
        return values

    def _blankets(self, tags: Sequence[str]) -> list[Blanket]:
        found = {one.tag: one for one in access.rows(self.person, Blanket, "handle").filter(tag__in=tags)}
        unknown = [tag for tag in tags if tag not in found]
        if unknown:
            self.add_error(
                "tags",
                gettext("%(tags)s is no blanket that you can put on here.") % {"tags": ", ".join(unknown)},
            )
        elif len(set(tags)) < len(tags):
            self.add_error("tags", gettext("One blanket is named twice."))
        return [found[tag] for tag in tags if tag in found]


class HereForm(OnceForm):
    """All done here, except. Each line comes with what it said to whoever tapped, under `shown-` and its key."""

    but = forms.MultipleChoiceField(label=_("Except"), required=False, widget=forms.CheckboxSelectMultiple)

    def __init__(self, data: Any, *, lines: Iterable[ListLine]) -> None:
        super().__init__(data)
        self.lines = list(lines)
        self.fields["but"].choices = [(str(line.pk), line.horse.name) for line in self.lines]  # type: ignore[attr-defined]

    @property
    def shown(self) -> dict[int, str]:
        """What was shown for each line that is not excepted; empty text where the page did not say."""
        but = set(self.cleaned_data["but"])
        done = [line.pk for line in self.lines if str(line.pk) not in but]
        return {pk: str(self.data.get(f"shown-{pk}", "")) for pk in done}


class NoteForm(OnceForm):
    note = forms.CharField(
        label=_("Note to the next shift"),
        required=False,
        max_length=300,
        help_text=_("Empty takes the note away."),
    )


class ListWeatherForm(OnceForm):
    """The conditions until what is put on comes off again. Empty air: the file's hours, or those entered before."""

    air = forms.FloatField(required=False, help_text=AIR_HELP)
    wind = forms.ChoiceField(label=_("Wind"), choices=WINDS, widget=forms.RadioSelect, initial="calm", required=False)
    falling = forms.ChoiceField(
        label=_("Wet"), choices=FALLING, widget=forms.RadioSelect, initial="dry", required=False
    )

    def __init__(self, data: Any, *, barn: Barn, has_file: bool, has_hours: bool = False) -> None:
        super().__init__(data)
        self.us, self.has_hours = barn.units == Units.US, has_file or has_hours
        self.fields["air"].label = gettext("Air temperature, %(unit)s") % {"unit": units.degree(us=self.us)}
        if has_file:
            self.fields["air"].help_text = gettext("Empty takes the weather file's hours.")
        elif has_hours:
            self.fields["air"].help_text = gettext("Empty keeps the conditions entered before.")

    def clean_air(self) -> float | None:
        air: float | None = self.cleaned_data["air"]
        if air is None:
            if not self.has_hours:
                raise forms.ValidationError(gettext("How warm or cold will it be?"))
            return None
        return air_c(air, us=self.us)

    @property
    def conditions(self) -> Conditions | None:
        values = self.cleaned_data
        if values.get("air") is None:
            return None
        falling = values.get("falling") or "dry"
        return Conditions(
            air_c=values["air"],
            wind_10m_ms=WIND_MS[values.get("wind") or "calm"],
            falling=None if falling == "dry" else PrecipKind(falling),
        )
