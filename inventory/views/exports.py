from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from inventory.enums import ImportWhat
from inventory.models import ImportRun
from inventory.queries.exports import rows
from inventory.sheets import writing
from inventory.views.imports import download


@require_safe
def exports(request: HttpRequest) -> HttpResponse:
    """What can be taken out; an owner's own."""
    person = request.person
    return render(
        request,
        "inventory/exports.html",
        {
            "kinds": ImportWhat.choices,
            "own_only": not (person.is_manager or person.is_staff),
            "may_import": access.may_any(person, "add", ImportRun),
        },
    )


@require_safe
def export_file(request: HttpRequest, what: str, kind: str) -> HttpResponse:
    if what not in ImportWhat.values or kind not in writing.CONTENT_TYPES:
        raise Http404
    label = str(dict(ImportWhat.choices)[what])
    content = writing.write(kind, label, rows(request.person, what))
    return download(content, kind, _("%(what)s of %(barn)s") % {"what": label, "barn": request.barn.name})
