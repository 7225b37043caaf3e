"""A person's saved views of the inventory."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from barnrugs.barns import access
from barnrugs.barns.views.pages import BOTH, Page, form_page
from inventory.domain import saved_views as domain
from inventory.forms.blankets import WhyForm
from inventory.forms.saved_views import SaveViewForm
from inventory.models import SavedView


@require_http_methods(BOTH)
def view_save(request: HttpRequest) -> HttpResponse:
    """Keeps the filters and the order of the list under a name."""
    access.demand(request.person, "add", SavedView)
    form = SaveViewForm(request.POST or None, initial={"query": request.GET.urlencode()})
    page = Page(
        heading=_("Save this view"),
        submit=_("Save the view"),
        back=reverse("blankets", args=[request.barn.slug]),
        said=_("Saved: it stands above the list."),
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.save_view(form.cleaned_data["name"], query=form.cleaned_data["query"], actor=actor),
        then=lambda view: f"{page.back}?{view.query}",
    )


@require_http_methods(BOTH)
def view_remove(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, SavedView, pk, "change")
    return form_page(
        request,
        WhyForm(request.POST or None),
        Page(
            heading=_("Remove the view “%(name)s”") % {"name": found},
            submit=_("Remove the view"),
            back=reverse("blankets", args=[request.barn.slug]),
            said=_("The view is removed. No blanket has changed."),
        ),
        lambda actor: domain.remove_view(found, actor=actor),
    )
