from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from barnrugs.barns import first_run as steps
from barnrugs.barns.context import page_url
from barnrugs.barns.models import Barn


@require_safe
def first_run(request: HttpRequest) -> HttpResponse:
    """From nothing to the first list, step by step."""
    access.demand(request.person, "change", Barn)
    now = steps.steps(request.barn)
    return render(
        request,
        "barns/first_run.html",
        {
            "steps": now,
            "next": next((step for step in now if not step.done), None),
            "done": sum(step.done for step in now),
            "list_url": page_url("tonight", request.barn.slug),
        },
    )
