"""What our forms say of a fault is said in our own words, whatever the field and whatever is wrong with it."""

import importlib
import pkgutil
from collections.abc import Iterator
from copy import deepcopy
from decimal import Decimal
from typing import Any

import pytest
from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.validators import MinValueValidator

import barnrugs
import horses
import inventory
from barnrugs.barns import sentences
from barnrugs.barns.forms.basis import Basis, Form
from inventory.models import CareJob

FRAMEWORK = (
    "This field",
    "This value",
    "Ensure ",
    "Enter a ",
    "Enter only ",
    "Select a valid",
    "No file was",
    "The submitted file",
    "Upload a valid",
    "“",
    "Null characters",
)
BAD: tuple[str, ...] = (
    "",
    "none of these",
    "x" * 5000,
    "\x00",
    "-99999999999",
    "99999999999",
    "123456789.123456789",
    "1.123456789",
    "NaN",
)


def bad_values(field: forms.Field) -> list[Any]:
    if isinstance(field, forms.FileField):
        return [None, SimpleUploadedFile("empty.jpg", b""), SimpleUploadedFile("picture.jpg", b"no picture")]
    if isinstance(field, forms.MultipleChoiceField | forms.ModelMultipleChoiceField):
        return [[], *([value] for value in BAD if value)]
    return [None, *BAD]


def modules() -> Iterator[Any]:
    for package in (barnrugs, horses, inventory):
        for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            if ".forms." in found.name:
                yield importlib.import_module(found.name)


def all_forms() -> list[type[forms.BaseForm]]:
    found = {
        one
        for module in modules()
        for one in vars(module).values()
        if isinstance(one, type) and issubclass(one, forms.BaseForm) and one.__module__ == module.__name__
    }
    return sorted(found, key=lambda one: (one.__module__, one.__qualname__))


def of_the_framework(field: forms.Field, base: type[forms.Form] = Form) -> list[tuple[Any, str]]:
    """What a form with this one field says in the framework's words, and of what."""
    found = []
    for value in bad_values(field):
        probe = base({}, {})
        probe.fields["it"] = deepcopy(field)
        probe.fields["it"].widget.value_from_datadict = lambda *of, given=value: given  # type: ignore[method-assign]
        said = probe.errors.get("it", [])
        found += [(value, sentence) for sentence in said if sentence.startswith(FRAMEWORK)]
    return found


def test_the_walk_sees_the_forms() -> None:
    names = {one.__name__ for one in all_forms()}
    assert names >= {
        "SignInForm",
        "HouseForm",
        "AcceptForm",
        "BlanketForm",
        "ConditionForm",
        "DamageForm",
        "SearchForm",
    }


@pytest.mark.parametrize("form", all_forms(), ids=lambda form: form.__qualname__)
@pytest.mark.django_db
def test_no_form_speaks_in_the_frameworks_words(form: type[forms.BaseForm]) -> None:
    assert issubclass(form, Basis)
    fields = getattr(form, "base_fields", {})
    assert {name: said for name, field in fields.items() if (said := of_the_framework(field))} == {}


CHOSEN = (forms.RadioSelect, forms.Select, forms.CheckboxInput, forms.CheckboxSelectMultiple)


@pytest.mark.parametrize("form", all_forms(), ids=lambda form: form.__qualname__)
def test_what_is_typed_or_sent_along_has_its_sentence_of_help(form: type[forms.BaseForm]) -> None:
    """What is chosen among words shown explains itself; what a phone sends nobody sees."""
    if form.__module__ == "inventory.forms.sending":
        return
    fields = getattr(form, "base_fields", {})
    typed = {name: one for name, one in fields.items() if not (one.widget.is_hidden or isinstance(one.widget, CHOSEN))}
    assert [name for name, one in typed.items() if not one.help_text and name not in GIVEN_LATER] == []


GIVEN_LATER = {"tolerance", "wind_figure"}
"""Their help names the barn's unit, so the form gives it when it is made."""


def test_the_probe_finds_what_it_looks_for() -> None:
    said = of_the_framework(forms.IntegerField(min_value=0, max_value=72), forms.Form)
    assert {sentence for _value, sentence in said} >= {
        "This field is required.",
        "Enter a whole number.",
        "Ensure this value is less than or equal to 72.",
        "Ensure this value is greater than or equal to 0.",
    }


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        (forms.CharField(), "", "Fill this in."),
        (forms.ChoiceField(choices=[("a", "A")]), "", "Choose one."),
        (forms.ChoiceField(choices=[("a", "A")]), "b", "Choose one of those shown."),
        (forms.IntegerField(max_value=72), "73", "At most 72."),
        (forms.FloatField(min_value=0), "-1", "At least 0."),
        (forms.FloatField(), "warm", "Write a number."),
        (
            forms.DecimalField(max_digits=8, decimal_places=2),
            "1234567.00",
            "A number of at most 6 figures before the point and 2 after it.",
        ),
        (forms.CharField(max_length=4), "abcde", "At most 4 characters; this has 5."),
        (forms.CharField(error_messages={"required": "Say why."}), "", "Say why."),
    ],
)
def test_each_fault_has_its_sentence(field: forms.Field, value: str, sentence: str) -> None:
    probe = Form({"it": value})
    probe.fields["it"] = field
    assert probe.errors["it"] == [sentence]


def test_a_records_own_fault_is_reworded_too() -> None:
    with pytest.raises(ValidationError) as caught:
        CareJob(limit=Decimal(-1)).full_clean(validate_constraints=False, validate_unique=False)
    sentences.reword(caught.value)
    said = caught.value.message_dict
    assert (said["limit"], said["kind"]) == (["At least 0."], ["Fill this in."])


def test_words_of_our_own_that_sound_alike_stay() -> None:
    error = ValidationError("This field is required.", code="required")
    sentences.reword(error)
    assert error.messages == ["This field is required."]
    with pytest.raises(ValidationError) as caught:
        MinValueValidator(3, "Three or more.")(2)
    sentences.reword(caught.value)
    assert caught.value.messages == ["Three or more."]
