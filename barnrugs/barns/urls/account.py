from django.urls import path

from barnrugs.barns.views import account

urlpatterns = [
    path("", account.landing, name="landing"),
    path("account/", account.account, name="account"),
]
