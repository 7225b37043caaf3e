"""The barn's list for tonight as plain text, 100 columns wide."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from textwrap import wrap
from typing import Any

from django.utils import timezone

from barnrugs.barns.models import Barn
from barnrugs.matching import units
from barnrugs.matching.judge import JudgedOutfit
from inventory.domain import advice, snapshot
from inventory.domain.advice import BarnList, Line
from inventory.views import answers

WIDTH = 100
COLUMNS = (("HORSE", 10), ("STALL", 6), ("VERDICT", 13), ("BAND °F", 11), ("WEAR", 28), ("WHERE IT IS", 32))
GAP = 1
INVENTED = (
    "Air, wind and sky are those of a night in January of a typical year on the Alaskan coast; the rain and snow are "
    "invented, and so are the barn, its people and its horses."
)
INDENT = 18


def tonight(barn: Barn, now: datetime) -> list[str]:
    """What the page of the same name answers at this moment."""
    start, end = advice.night(barn, now)
    weather = advice.forecast(barn, start, end)
    with timezone.override(barn.zone):
        found = advice.advise_barn(snapshot.read(barn, now), weather)
        return [*_head(barn, found, start, end), *_table(barn, found), *_short(barn, found)]


def _head(barn: Barn, found: BarnList, start: datetime, end: datetime) -> Iterator[str]:
    first, last = (timezone.localtime(moment, barn.zone) for moment in (start, end))
    yield f"{barn}: tonight, {first:%A %-d %B %H:%M} to {last:%A %H:%M}"
    hours = found.weather.hours
    air = [hour.air_c for hour in hours]
    wind = [hour.wind_10m_ms for hour in hours]
    fallen = sum(hour.precip_mm or 0 for hour in hours)
    unknown = sum(hour.precip_mm is None for hour in hours)
    yield (
        f"{_f(max(air))} to {_f(min(air))} °F outside, wind {_mph(min(wind))} to {_mph(max(wind))} mph, "
        f"{units.rain(fallen, us=True)} of rain and snow{f', unknown for {unknown} hours' if unknown else ''}."
    )
    yield from _wrapped(INVENTED, indent=0)
    yield ""


def _f(air_c: float) -> str:
    return f"{units.f_from_c(air_c):.0f}"


def _mph(wind_ms: float) -> str:
    return f"{units.mph_from_ms(wind_ms):.0f}"


def _table(barn: Barn, found: BarnList) -> Iterator[str]:
    yield _row([title for title, _ in COLUMNS])
    yield "-" * WIDTH
    for line in found.lines:
        yield from _line(line, barn, found.blankets)


def _line(line: Line, barn: Barn, blankets: dict[str, Any]) -> Iterator[str]:
    name = [line.horse.name, line.horse.stall]
    if line.given is None:
        yield _row([*name, "No answer"])
        yield from _wrapped(line.no_answer.say(answers.voice(barn)) if line.no_answer else "")
        return
    shown = answers.show(line.given, barn, blankets, horse=line.horse, worn=line.keeps)
    cells = [*name, shown.verdict_word, _band(line.given)]
    layers = [(f"{layer.tag} {_short_words(layer.words)}", layer.where) for layer in shown.layers] or [("nothing", "")]
    for number, layer in enumerate(layers):
        yield from _cells(cells if number == 0 else ["", "", "", ""], *layer)
    yield from _reasons(line, shown, barn, blankets)


def _band(given: JudgedOutfit) -> str:
    low, high = given.band_c
    return f"{_f(low)} to {_f(high)}"


def _short_words(words: str) -> str:
    return words.partition(",")[0]


def _cells(cells: list[str], *layer: str) -> Iterator[str]:
    """One row, and under it what of the layer's words is too long for its column."""
    columns = [wrap(text, width - GAP) or [""] for text, (_, width) in zip(layer, COLUMNS[4:], strict=True)]
    for number in range(max(map(len, columns))):
        texts = [column[number] if number < len(column) else "" for column in columns]
        yield _row([*(cells if number == 0 else [""] * 4), *texts])


def _reasons(line: Line, shown: answers.Shown, barn: Barn, blankets: dict[str, Any]) -> Iterator[str]:
    advice_of = line.advice
    if advice_of and advice_of.keep_in:
        yield from _wrapped(advice_of.keep_in.say(answers.voice(barn)))
    for cooler in advice_of.first if advice_of else ():
        yield from _wrapped(f"First {cooler.tag}, {answers.layer(cooler.tag, blankets).where}, until dry.")
    yield from _wrapped(" ".join((*shown.warmth, *shown.cautions)))
    note = answers.vet_words(line.horse, barn, advice_of.stay.hours[0].time) if advice_of else ""
    if note:
        yield from _wrapped(f"Veterinarian's note, above this advice: {note}")


def _short(barn: Barn, found: BarnList) -> Iterator[str]:
    short = [line for line in found.lines if line.short]
    yield "-" * WIDTH
    if short:
        yield f"{len(short)} of {len(found.lines)} go short, because each blanket goes to one horse only:"
        for line in short:
            yield from _wrapped(line.short.say(answers.voice(barn)) if line.short else "", indent=2)
    else:
        yield "Nobody goes short: no two horses want the same blanket."
    if found.message:
        yield from _wrapped(found.message, indent=0)


def _row(cells: Iterable[str]) -> str:
    padded = (f"{text[: width - GAP]:<{width}}" for text, (_, width) in zip(cells, COLUMNS, strict=False))
    return "".join(padded).rstrip()[:WIDTH]


def _wrapped(text: str, indent: int = INDENT) -> list[str]:
    return wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * indent)
