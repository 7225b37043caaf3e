"""Who decides what a horse wears, and what speaks against it, in sentences: one place for every page and list."""

from dataclasses import dataclass, replace

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from barnrugs.matching import charts, units
from barnrugs.matching.reasons import Voice
from inventory import chart_words
from inventory.domain.advice import Line
from inventory.domain.otherwise import may_differ
from inventory.domain.precedence import OBEYED, Against, Decision, Objection
from inventory.enums import DecidedBy, Override
from inventory.models import Chart
from inventory.views import answers

DECIDES = {
    DecidedBy.VET: gettext_lazy("The veterinarian's note decides"),
    DecidedBy.OWNER: gettext_lazy("The owner's chart decides"),
    DecidedBy.HOUSE: gettext_lazy("The house rule decides"),
    DecidedBy.COMPUTED: gettext_lazy("Computed advice"),
}
MAY_DO_OTHERWISE = {
    Override.NOBODY: gettext_lazy("Nobody may do otherwise, not even the manager, unless the chart is changed first."),
    Override.MANAGER: gettext_lazy("Only the manager may do otherwise."),
    Override.STAFF: gettext_lazy("Staff may do otherwise, with a reason."),
}


@dataclass(frozen=True)
class Said:
    """by: who decides. says: what the note or the chart asks for. otherwise: who may do otherwise. against: what speaks
    against it, each a sentence. gap: a chart that has no line for this weather."""

    by: str
    says: str = ""
    otherwise: str = ""
    against: tuple[str, ...] = ()
    gap: str = ""
    computed: bool = False


def of_line(line: Line, barn: Barn) -> Said:
    """A line of the barn's list or of Choose: with its chart's override, and the gap of a chart that did not decide."""
    subject, decision = line.subject, line.decision
    owners = subject.chart if barn.house_model in OBEYED else None
    if decision is None:
        return Said(who(DecidedBy.COMPUTED), gap=_gap(owners) if line.advice else "", computed=True)
    chart = owners if decision.by == DecidedBy.OWNER else None
    return replace(of_decision(decision, barn), otherwise=_otherwise(decision, barn, chart))


def _otherwise(decision: Decision, barn: Barn, chart: Chart | None) -> str:
    if chart is None:
        return ""
    against = [one.kind for one in decision.against]
    return otherwise(may_differ(decision.by, chart.override, barn.house_model, against))


def of_chart(override: str, barn: Barn, *, owners: bool) -> str:
    """Who may do otherwise than a chart says, as this house has it. owners: a horse's chart, not the house's own."""
    return otherwise(may_differ(DecidedBy.OWNER if owners else DecidedBy.HOUSE, override, barn.house_model))


def of_decision(decision: Decision, barn: Barn) -> Said:
    return Said(
        by=who(decision.by),
        says=_says(decision, barn),
        against=tuple(_objection(one, answers.voice(barn)) for one in decision.against),
    )


def who(by: str) -> str:
    """In a sentence of its own."""
    if by == DecidedBy.COMPUTED:
        return _("No note and no chart speaks: the computed advice decides.")
    return f"{DECIDES[DecidedBy(by)]}."


def otherwise(who_may: Override) -> str:
    return str(MAY_DO_OTHERWISE[who_may])


def against(kind: str, voice: Voice, *, degrees_c: float = 0.0, why: str = "") -> str:
    """What speaks against a decision. why: the refusal in a sentence."""
    by = {"by": chart_words.difference(degrees_c, us=voice.us_units)}
    if kind == Against.REFUSED:
        return _("What it asks for is refused: %(why)s") % {"why": why}
    if kind == Against.NOT_HERE:
        return _("What it asks for is not to be had here now; this is the next best.")
    if kind == Against.TOO_COLD:
        return _("Computed otherwise: it is too cold by up to %(by)s.") % by
    return _("Computed otherwise: it is too warm by up to %(by)s.") % by


def _objection(one: Objection, voice: Voice) -> str:
    return against(one.kind, voice, degrees_c=one.degrees_c, why=one.reason.say(voice) if one.reason else "")


def _says(decision: Decision, barn: Barn) -> str:
    """The chart's line and where it was read, and the keeper's words."""
    reading, said = decision.read, []
    if reading and reading.row:
        where = {"read": reading_words(reading, barn), "blanket": chart_words.put_on(reading.row)}
        said.append(_("At %(read)s: %(blanket)s.") % where)
    said += [f"{chart_words.picked(name)}." for name in decision.picked]
    return " ".join([*said, decision.keeper_says]).strip()


def _gap(chart: Chart | None) -> str:
    return _("The owner's chart has no line for this weather.") if chart else ""


def reading_words(reading: charts.Reading, barn: Barn) -> str:
    """Where a chart was read, for example "−2 °C, out, dry"."""
    column = str(chart_words.COLUMN_WORDS[reading.place, reading.wet]).lower()
    return f"{units.whole_degrees(reading.read_c, us=barn.units == Units.US)}, {column}"
