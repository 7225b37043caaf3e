from django.urls import path

from inventory.views import season

urlpatterns = [
    path("barns/<slug:slug>/season/", season.season, name="season"),
    path("barns/<slug:slug>/autumn/", season.autumn, name="autumn"),
    path("barns/<slug:slug>/season/<slug:page>/", season.season_act, name="season_act"),
]
