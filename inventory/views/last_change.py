"""Taking back the last change on a horse: what goes back is said before."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from horses.models import Horse
from inventory.domain import last_change as domain
from inventory.domain.care import clock
from inventory.domain.last_change import LastChange
from inventory.forms.wearing import TakeBackForm


@require_http_methods(BOTH)
def last_change(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, "dress")
    last = domain.of(horse, timezone.now())
    back = reverse("horse", args=[request.barn.slug, horse.pk])
    if request.method != "POST" and not (last and last.is_for(request.person)):
        return redirect(back)
    form = TakeBackForm(sent(request), initial={"at": last.at.isoformat() if last else ""})
    page = Page(
        heading=_("Take back the last change on %(horse)s") % {"horse": horse},
        submit=_("It was a mis-tap: take it back"),
        back=back,
        intro=in_words(last) if last else "",
        said=_("Taken back. Both stand in the log."),
    )

    def call(actor: Actor) -> Horse:
        return domain.take_back(horse, at=form.cleaned_data["at"], actor=actor)

    return form_page(request, form, page, call)


def in_words(last: LastChange) -> str:
    """What was done, by whom and when, and what comes of taking it back."""
    on, off = (" + ".join(one.blanket.tag for one in worn) for worn in (last.on, last.off))
    did = {"who": last.by, "when": clock(last.at), "horse": last.horse, "on": on, "off": off}
    if on and off:
        return _("%(who)s took %(off)s off and put %(on)s on, %(when)s. %(horse)s wears %(off)s again.") % did
    if on:
        return _("%(who)s put %(on)s on, %(when)s. %(on)s hangs where it hung.") % did
    return _("%(who)s took %(off)s off, %(when)s. %(horse)s wears %(off)s again, as if it had never come off.") % did
