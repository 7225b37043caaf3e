from importlib.util import find_spec

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponseBase
from django.templatetags.static import static
from django.urls import URLPattern, URLResolver, include, path
from django.views.decorators.cache import cache_control
from django.views.generic import RedirectView

OURS = ("barnrugs.barns", "barnrugs.weather", "horses", "inventory")


@cache_control(public=True, max_age=86400)
@login_not_required
def favicon(request: HttpRequest) -> HttpResponseBase:
    return RedirectView.as_view(url=static("barnrugs/mark.svg"))(request)


urlpatterns: list[URLPattern | URLResolver] = [
    path("favicon.ico", favicon, name="favicon"),
    path("account/", include("allauth.account.urls")),
    path("account/second-step/", include("allauth.mfa.urls")),
    *(path("", include(f"{app}.urls")) for app in OURS if find_spec(f"{app}.urls")),
]
