"""Which letters I get: everybody for themselves."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from barnrugs.barns import access
from barnrugs.barns.views.pages import BOTH, Page, form_page
from inventory.domain import mail as domain
from inventory.enums import Letter
from inventory.forms.mail import MailForm
from inventory.models import MailChoice


@require_http_methods(BOTH)
def mail(request: HttpRequest) -> HttpResponse:
    refused = access.rows(request.person, MailChoice).filter(wanted=False).values_list("letter", flat=True)
    form = MailForm(request.POST or None, wanted=set(Letter.values) - set(refused))
    address = request.person.user.email if request.person.user else ""
    page = Page(
        heading=_("Letters to me"),
        submit=_("Save"),
        back=reverse("mail", args=[request.barn.slug]),
        intro=_("They go to %(address)s, each once.") % {"address": address}
        if address
        else _("You have no mail address here, so no letter reaches you."),
        said=_("Saved."),
    )
    return form_page(
        request, form, page, lambda actor: domain.choose(request.person, wanted=form.wanted(), actor=actor)
    )
