"""Everything that staff read is there in Spanish: no message missing or fuzzy, no plain text, the compiled catalogue
as new as its source, the reasons of the matching with the figures of the English ones.

Whether it is said as a native horse person would say it, no test knows: the catalogue's head asks for that review.
"""

import gettext
import importlib
import inspect
import pkgutil
import re
import string
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from django import forms
from django.conf import settings
from django.db import models
from django.template import defaultfilters
from django.urls import reverse
from django.utils import formats, translation
from django.utils.functional import Promise

from barnrugs.barns import field_names, journal
from barnrugs.barns.forms.seen import SeenForm
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, Person, User
from barnrugs.barns.models.user import Language
from barnrugs.matching import herd
from barnrugs.matching import weather as matching_weather
from barnrugs.matching.charts import Row
from barnrugs.matching.limits import AIR_C, NoAnswer, require
from barnrugs.matching.reasons import ENGLISH, SENTENCES, Code, Reason, Voice
from barnrugs.matching.spanish import SPANISH
from barnrugs.weather import shipped, sources
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.hours import WeatherFileFault
from barnrugs.weather.overlay import demo_year
from barnrugs.weather.sources import epw
from horses.models import Horse, Paddock
from inventory.domain import charts
from inventory.domain.charts import Written
from inventory.enums import RubPlace
from inventory.models import CareRules
from tests import messages, po
from tests.cast import Cast
from tests.weather import files as weather_files

PO = Path(settings.BASE_DIR) / "locale/es/LC_MESSAGES/django.po"
MO = PO.with_suffix(".mo")
SAME_IN_BOTH = {"Plan", "No", "no"}


def compiled() -> gettext.GNUTranslations:
    with MO.open("rb") as file:
        return gettext.GNUTranslations(file)


def entries() -> list[po.Entry]:
    return [entry for entry in po.read(PO) if entry.text and not entry.obsolete]


def test_no_message_of_the_catalogue_is_missing_or_fuzzy():
    assert len(entries()) > 2000
    untold = [entry.text for entry in entries() if entry.fuzzy or not all(entry.translated.values())]
    assert untold == []


def test_every_message_of_code_and_templates_is_in_the_compiled_catalogue():
    known = compiled()._catalog  # type: ignore[attr-defined]  # the only way to see what is there and what is not
    found = [*messages.of_code(), *messages.of_templates()]
    assert len(found) > 2500
    missing = {f"{one.where}: {one.text}" for one in found if not _is_known(known, one)}
    assert missing == set()


def _is_known(known: dict[Any, str], one: messages.Message) -> bool:
    key = f"{one.context}\x04{one.text}" if one.context else one.text
    return bool(known.get((key, 0)) and known.get((key, 1))) if one.plural else bool(known.get(key))


def test_the_compiled_catalogue_is_as_new_as_its_source():
    known = compiled()._catalog  # type: ignore[attr-defined]
    source = {
        ((entry.key, form) if entry.plural else entry.key): text
        for entry in entries()
        for form, text in entry.translated.items()
    }
    assert source == {key: text for key, text in known.items() if key}


def test_figures_and_tags_of_each_message_are_those_of_the_english_one():
    wrong = [
        (entry.text, text)
        for entry in entries()
        for form, text in entry.translated.items()
        if _holes(text) != _holes(entry.plural if form and entry.plural else entry.text)
        and not (form == 0 and entry.plural and _holes(text) <= _holes(entry.plural))
    ]
    assert wrong == []


HOLES = re.compile(r"%\(\w+\)[+.\d]*[sdfg]|\{\w+\}|<[^>]+>|%(?:n|who|at|horse|now|before)\b|\n")


def _holes(text: str) -> set[str]:
    return set(HOLES.findall(text))


def test_no_template_speaks_outside_a_translation():
    assert list(messages.plain_text()) == []


def test_the_head_asks_for_review_by_a_native_horse_person():
    assert "FOR REVIEW BY A NATIVE HORSE PERSON" in PO.read_text(encoding="utf-8")[:600]


# Enums, forms, the journal, records' fields


def modules(*packages: str) -> Iterator[Any]:
    for name in packages:
        package = importlib.import_module(name)
        yield package
        for found in pkgutil.iter_modules(getattr(package, "__path__", ())):
            yield importlib.import_module(f"{name}.{found.name}")


def enums() -> list[type[models.Choices]]:
    found = modules("inventory.enums", "horses.enums", "barnrugs.barns.models")
    classes = {one for module in found for one in vars(module).values() if isinstance(one, type)}
    return sorted((one for one in classes if issubclass(one, models.Choices) and len(one)), key=str)


def test_every_word_of_the_enums_is_marked():
    assert len(enums()) > 40
    plain = [(one.__name__, word.name) for one in enums() for word in one if not isinstance(word._label_, Promise)]
    assert [name for name, _word in plain if name != Language.__name__] == []


def forms_of_ours() -> list[type[forms.BaseForm]]:
    list(modules("barnrugs.barns.forms", "barnrugs.weather.forms", "horses.forms", "inventory.forms"))

    def below(base: type[Any]) -> Iterator[type[Any]]:
        for one in base.__subclasses__():
            yield one
            yield from below(one)

    return [one for one in below(forms.Form) if one.__module__.startswith(messages.APPS)]


def test_labels_and_helps_of_every_form_are_marked():
    assert len(forms_of_ours()) > 40
    plain = [
        (form.__name__, name, said)
        for form in forms_of_ours()
        for name, field in form.base_fields.items()
        for said in (field.label, field.help_text)
        if said and not isinstance(said, Promise)
    ]
    assert plain == []


def test_every_sentence_of_the_journal_is_in_spanish():
    known = compiled()
    sentences = [action.sentence for action in journal.actions().values()]
    assert len(sentences) > 80
    assert [one for one in sentences if known.gettext(one) == one] == []


def test_names_of_fields_that_an_edit_tells_are_in_spanish():
    told = {Barn, Person, Horse, Paddock, CareRules}
    with translation.override("es"):
        for form in SeenForm.__subclasses__():
            for model in told:
                names = [name for name in form.fields_shown if all(_has(model, one) for one in form.fields_shown)]
                for name in names:
                    assert field_names.label_of(model, name) != str(model._meta.get_field(name).verbose_name), name


def _has(model: type[models.Model], name: str) -> bool:
    return name in {field.name for field in model._meta.fields}


# The reasons of the matching


def figures(sentence: str) -> set[str]:
    return {name for _text, name, _spec, _conversion in string.Formatter().parse(sentence) if name}


def test_every_reason_has_its_spanish_sentence_with_the_same_figures():
    assert set(SPANISH.sentences) == set(Code) == set(ENGLISH.sentences)
    for code, sentence in SPANISH.sentences.items():
        assert figures(sentence) == figures(SENTENCES[code].english), code
        assert sentence != SENTENCES[code].english, code
        assert sentence.endswith("."), code


def test_every_word_that_a_reason_may_say_is_spanish():
    from barnrugs.matching import words

    for enum in (words.Kind, words.Clip, words.Cut, words.Build, words.Need, RubPlace):
        assert set(enum) <= set(SPANISH.words), enum


def test_a_reason_is_said_in_the_voices_language():
    reason = Reason(Code.BARE_NEEDS_RAIN, {"needs_words": ("old", "thin"), "air_c": -3.0})
    assert reason.say(Voice(language=SPANISH)) == (
        "Este caballo está viejo y flaco, y se espera lluvia o nieve con hasta -3 °C: manténgalo seco."
    )
    cut = Reason(Code.CUT, {"tag": "T1", "cut": "broad", "build": "fine"})
    assert "corte ancho" in cut.say(Voice(language=SPANISH))
    assert "complexión fina" in cut.say(Voice(language=SPANISH))


# Pages by the person's setting


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    """A page leaves its language active in the test's own thread, as the server's threads are left to the next page."""
    yield
    translation.activate("en")


@pytest.fixture
def hablante(cast: Cast) -> Person:
    """Staff who set their language to Spanish."""
    User.objects.filter(pk=cast.staff.user_id).update(language=Language.SPANISH)
    return Person.objects.get(pk=cast.staff.pk)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("tonight", "Esta noche"),
        ("horses", "Caballos"),
        ("blankets", "Cobijas"),
        ("charts", "Tablas"),
        ("house_chart", "Tabla de la casa"),
    ],
)
def test_a_page_speaks_the_persons_language(cast, sign_in, hablante, name, words):
    page = sign_in(hablante).get(reverse(name, args=[cast.barn.slug])).content.decode()
    assert '<html lang="es">' in page
    assert f"<h1>{words}</h1>" in page


@pytest.mark.django_db
def test_reasons_decisions_and_words_of_blankets_on_choose_are_spanish(cast, sign_in, hablante):
    asked = {"asked": "1", "weather": "own", "air": "10", "wind": "calm", "falling": "snow"}
    url = reverse("choose", args=[cast.barn.slug, cast.owners_horse.pk])
    page = sign_in(hablante).get(url, asked).content.decode()
    assert "A gusto de" in page
    assert "decide el consejo calculado" in page
    assert "Cobija de potrero 200 g" in page
    assert "Comfortable" not in page
    assert "12 horas desde las" in page


@pytest.mark.django_db
def test_a_common_note_of_a_chart_is_said_in_each_readers_language_on_one_list(cast, sign_in, hablante):
    load_year(cast.barn, demo_year(), name="A year")
    rows = (Row(None, None, tags=("WNR33",), picked=("feel_under",), note="Like last year"),)
    charts.write_chart(cast.owners_horse, written=Written(rows), seen=None, actor=Actor(person=cast.owner))
    url = reverse("due", args=[cast.barn.slug])
    english = sign_in(cast.manager).get(url, follow=True).content.decode()
    spanish = sign_in(hablante).get(url, follow=True).content.decode()
    assert "Feel under it for sweat." in english
    assert "Meta la mano debajo a ver si suda." in spanish
    assert "Like last year" in english
    assert "Like last year" in spanish


@pytest.mark.django_db
def test_the_language_is_chosen_on_the_account_page_and_holds_at_once(cast, sign_in):
    client = sign_in(cast.staff)
    client.post(reverse("account"), {"language": "es"})
    assert "Esta noche" in client.get(reverse("tonight", args=[cast.barn.slug])).content.decode()


def test_what_is_the_same_in_both_languages_is_so_on_purpose():
    same = {
        entry.text
        for entry in entries()
        for text in entry.translated.values()
        if text == entry.text and messages.WORD.search(HOLES.sub("", text))
    }
    assert same <= SAME_IN_BOTH


# What files, limits and dates say


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda rows: rows.__setitem__(99, "1,2"), "renglón 100: 2 columnas en lugar de 68"),
        (lambda rows: rows.__delitem__(59), "renglón 59: después falta 3 de enero 09:00"),
        (lambda rows: rows.__setitem__(0, "703165,SAND POINT,AK"), "columnas en lugar de 7 desde la estación"),
    ],
)
def test_faults_of_a_weather_file_are_told_in_spanish(change, said):
    rows = list(weather_files.lines(shipped.ALASKA))
    change(rows)
    with translation.override("es"), pytest.raises(WeatherFileFault, match=said):
        sources.read(weather_files.upload(rows))


def test_no_weather_quantity_is_named_in_english_alone():
    with translation.override("es"):
        assert str(epw.WIND.name) == "velocidad del viento"
        with pytest.raises(ValueError, match="“fast” no es un número"):
            epw.WIND.read("fast")


@pytest.mark.django_db
def test_notes_of_a_weather_source_are_said_in_each_readers_language(cast, sign_in, hablante):
    load_year(cast.barn, demo_year(), name="A year")
    url = reverse("tonight", args=[cast.barn.slug])
    english = sign_in(cast.manager).get(url).content.decode()
    spanish = sign_in(hablante).get(url).content.decode()
    assert "Precipitation in the file is unknown in 8,504 of 8,760 hours: 8,011 missing in the file" in english
    assert "Invented dry weather: from 18 February 16:00 for 24 hours" in english
    assert "no se sabe si llovió o nevó en 8,504 de 8,760 horas: 8,011 faltan en el archivo" in spanish
    assert "Tiempo seco inventado: desde el 18 de febrero 16:00, durante 24 horas" in spanish
    assert "Precipitation" not in spanish


def test_every_quantity_whose_limits_are_told_has_its_word_in_both_languages():
    told = {name for name in SPANISH.words if name in ENGLISH.words}
    limited = set(re.findall(r'"(\w+)"(?:, "\w+")?\)$', _source_of_limits(), re.MULTILINE))
    assert len(limited) > 15
    assert limited <= told


def _source_of_limits() -> str:
    lines = (line for module in (herd, matching_weather) for line in inspect.getsource(module).splitlines())
    return "\n".join(line for line in lines if "require(" in line and "def " not in line)


def test_a_limit_of_the_model_is_told_in_the_readers_language_and_units():
    with pytest.raises(NoAnswer) as refused:
        require("hours[0].air_c", 60, AIR_C, "air_here", "c")
    assert str(refused.value) == "hours[0].air_c: Air temperature at the place must lie between -45 °C and 40 °C."
    spanish = refused.value.reason.say(Voice(us_units=True, language=SPANISH))
    assert spanish == "La temperatura del aire en el lugar: el valor debe estar entre -49 °F y 104 °F."


@pytest.mark.django_db
def test_a_storm_beyond_the_model_is_told_in_spanish(cast, sign_in, hablante):
    year = demo_year()
    storm = year.with_hours(replace(hour, wind_10m_ms=40.0) for hour in year.hours)
    load_year(cast.barn, storm, name="A storm")
    page = sign_in(hablante).get(reverse("choose", args=[cast.barn.slug, cast.owners_horse.pk])).content.decode()
    assert "El viento a 10 m: el valor debe estar entre 0 mph y 67 mph." in page
    assert "must lie" not in page


@pytest.mark.parametrize(
    ("asked", "english", "spanish"),
    [
        ("D j M", "Wed 25 Nov", "mié 25 nov"),
        ("j M Y, H:i", "25 Nov 2026, 07:05", "25 nov 2026, 07:05"),
        ("l j F, H:i", "Wednesday 25 November, 07:05", "miércoles 25 de noviembre, 07:05"),
        ("F Y", "November 2026", "noviembre de 2026"),
        ("j F Y", "25 November 2026", "25 de noviembre de 2026"),
        ("Y-m-d H:i", "2026-11-25 07:05", "2026-11-25 07:05"),
    ],
)
def test_months_and_days_are_written_as_each_language_writes_them(asked, english, spanish):
    """Spanish writes months and weekdays small and joins a long date by "de" (Ortografía de la RAE 2010, M)."""
    moment = datetime(2026, 11, 25, 7, 5)  # noqa: DTZ001
    for language, said in (("en", english), ("es", spanish)):
        with translation.override(language):
            assert formats.date_format(moment, asked) == said
            assert defaultfilters.date(moment, asked) == said
