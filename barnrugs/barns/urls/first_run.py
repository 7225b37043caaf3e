from django.urls import path

from barnrugs.barns.views import first_run

urlpatterns = [
    path("barns/<slug:slug>/first-steps/", first_run.first_run, name="first_run"),
]
