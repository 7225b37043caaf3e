"""Pictures of a blanket: served to those who may see its record, added, removed."""

from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access
from barnrugs.barns.views.pages import BOTH, Page, form_page
from inventory.domain import pictures as domain
from inventory.forms.blankets import WhyForm
from inventory.forms.pictures import PictureForm
from inventory.models import Blanket, Picture


@require_safe
def picture(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """The file. As of a page no browser's cache keeps it; of what is needed without signal a phone has copies."""
    found = access.fetch(request.person, Picture, pk, "see", among=Picture.objects.filter(removed_at__isnull=True))
    path = found.small_path if size == "small" else found.path
    try:
        with default_storage.open(path) as file:
            return HttpResponse(file.read(), content_type="image/jpeg")
    except FileNotFoundError:
        raise Http404 from None


def say_without_picture(request: HttpRequest, why: str) -> None:
    """The record stands; why its picture does not. Nothing where there is no fault."""
    if why:
        messages.warning(request, _("Its picture could not be kept: %(why)s") % {"why": why})


@require_http_methods(BOTH)
def picture_add(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, Blanket, pk, "handle")
    form = PictureForm(request.POST or None, request.FILES or None)
    return form_page(
        request,
        form,
        Page(
            heading=_("Picture of %(tag)s") % {"tag": found},
            submit=_("Keep the picture"),
            intro=_("Spread out, from the side, so that the next person knows it off the pile."),
            back=reverse("blanket", args=[request.barn.slug, pk]),
            said=_("The picture is kept."),
            template="inventory/blanket_picture.html",
        ),
        lambda actor: domain.add_picture(found, shrunk=form.cleaned_data["picture"], actor=actor),
    )


@require_http_methods(BOTH)
def picture_remove(request: HttpRequest, pk: int) -> HttpResponse:
    shown = Picture.objects.filter(removed_at__isnull=True).select_related("blanket")
    found = access.fetch(request.person, Picture, pk, "change", among=shown)
    form = WhyForm(request.POST or None)
    return form_page(
        request,
        form,
        Page(
            heading=_("Remove a picture of %(tag)s") % {"tag": found.blanket},
            submit=_("Remove it"),
            intro=_("Nobody sees it any more. The log says who removed it, and it can be put back from there."),
            back=reverse("blanket", args=[request.barn.slug, found.blanket_id]),
            said=_("The picture is removed."),
        ),
        lambda actor: domain.remove_picture(found, actor=actor, why=form.cleaned_data["why"]),
    )
