"""From a tag to its blanket: typed, or scanned from a label whose address never changes."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from barnrugs.barns.models import Person
from inventory import tags
from inventory.forms.tags import TagForm
from inventory.models import Blanket


@require_safe
def scanned(request: HttpRequest, barn: int, tag: str) -> HttpResponse:
    """The address on a label: the barn's number and the tag. Signing in comes first; strangers learn nothing."""
    person = (
        Person.objects.select_related("barn").filter(barn__pk=barn, user=request.user.pk, left_at__isnull=True).first()
    )
    if person is None:
        raise Http404
    found = access.rows(person, Blanket).filter(tag=tags.tidy(tag)).first()
    if found is None:
        return redirect(f"{reverse('tag', args=[person.barn.slug])}?tag={tags.tidy(tag)[:10]}")
    return redirect("blanket", person.barn.slug, found.pk)


@require_safe
def tag(request: HttpRequest) -> HttpResponse:
    """Type the five characters of a tag; a wrong one is said, a right one opens its blanket."""
    form = TagForm(request.GET if "tag" in request.GET else None, person=request.person)
    if form.is_bound and form.is_valid():
        return redirect("blanket", request.barn.slug, form.blanket.pk)
    return render(request, "inventory/blanket_tag.html", {"form": form})
