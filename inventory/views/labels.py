"""Labels to print: which blankets, which paper, and the sheets."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from inventory import labels as drawing
from inventory.forms.search import SearchForm
from inventory.models import Blanket
from inventory.views import rows
from inventory.views.blankets import narrowed, today

PAPERS = {"letter": _("Letter"), "a4": _("A4")}
MOST = 500


@require_safe
def tags(request: HttpRequest) -> HttpResponse:
    """Which blankets get a label: those the search finds, all or some of them."""
    form = SearchForm(request.GET, person=request.person)
    found = narrowed(request, form)[:MOST]
    return render(
        request,
        "inventory/blanket_tags.html",
        {
            "form": form,
            "rows": [rows.row(blanket, today(request)) for blanket in found],
            "chips": form.chips(),
            "papers": PAPERS.items(),
            "usual": "letter" if request.barn.units == "us" else "a4",
        },
    )


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
