"""Labels to print: which blankets, which paper, and the sheets."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from inventory import labels as drawing
from inventory.enums import ImportWhat
from inventory.forms.search import SearchForm
from inventory.models import Blanket, ImportRun
from inventory.queries import imports as import_queries
from inventory.views import rows
from inventory.views.blankets import narrowed, today

PAPERS = {"letter": _("Letter"), "a4": _("A4")}
MOST = 500


@require_safe
def tags(request: HttpRequest) -> HttpResponse:
    """Which blankets get a label: those the search finds, all or some of them."""
    form = SearchForm(request.GET, person=request.person)
    found = narrowed(request, form)
    run = _run(request)
    if run:
        found = found.filter(pk__in=import_queries.brought_in(run))
    return render(
        request,
        "inventory/blanket_tags.html",
        {
            "form": form,
            "rows": [rows.row(blanket, today(request)) for blanket in found[:MOST]],
            "chips": form.chips(),
            "run": run,
            "ticked": request.GET.get("ticked") != "none",
            "all_ticked": _asked(request),
            "none_ticked": _asked(request, ticked="none"),
            "papers": PAPERS.items(),
            "usual": "letter" if request.barn.units == "us" else "a4",
        },
    )


def _run(request: HttpRequest) -> ImportRun | None:
    """The import whose blankets are asked for, if any."""
    asked = request.GET.get("run", "")
    if not (asked.isascii() and asked.isdigit()):
        return None
    of_blankets = ImportRun.objects.filter(what=ImportWhat.BLANKETS)
    return access.fetch(request.person, ImportRun, int(asked[:12]), among=of_blankets)


def _asked(request: HttpRequest, **more: str) -> str:
    """This page's question with other ticks."""
    query = request.GET.copy()
    query.pop("ticked", None)
    query.update(more)
    return f"?{query.urlencode()}"


@require_safe
def labels(request: HttpRequest) -> HttpResponse:
    """The sheets of the blankets that were ticked, in the order of their horses."""
    paper = request.GET.get("paper", "")
    paper = paper if paper in PAPERS else "letter"
    chosen = [int(pk) for pk in request.GET.getlist("b")[:MOST] if pk.isascii() and pk.isdigit() and len(pk) < 16]
    found = (
        access.rows(request.person, Blanket)
        .filter(pk__in=chosen)
        .select_related("usual_horse")
        .order_by("usual_horse__walk_order", "usual_horse__name", "tag")
    )
    made = [drawing.label(blanket, _address(request, blanket)) for blanket in found]
    return render(
        request, "inventory/blanket_labels.html", {"sheets": drawing.sheets(made), "count": len(made), "paper": paper}
    )


def _address(request: HttpRequest, blanket: Blanket) -> str:
    return request.build_absolute_uri(reverse("scanned", args=[blanket.barn_id, blanket.tag]))
