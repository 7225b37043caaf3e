from django.urls import path

from inventory.views import blankets, whereabouts

urlpatterns = [
    path("barns/<slug:slug>/blankets/", blankets.blankets, name="blankets"),
    path("barns/<slug:slug>/blankets/add/", blankets.blanket_add, name="blanket_add"),
    path("barns/<slug:slug>/blankets/<int:pk>/", blankets.blanket, name="blanket"),
    path("barns/<slug:slug>/blankets/<int:pk>/change/", blankets.blanket_change, name="blanket_change"),
    path("barns/<slug:slug>/blankets/<int:pk>/lost/", whereabouts.blanket_lost, name="blanket_lost"),
    path("barns/<slug:slug>/blankets/<int:pk>/found/", whereabouts.blanket_found, name="blanket_found"),
    path("barns/<slug:slug>/blankets/<int:pk>/retire/", whereabouts.blanket_retire, name="blanket_retire"),
    path("barns/<slug:slug>/blankets/<int:pk>/return/", whereabouts.blanket_return, name="blanket_return"),
    path("barns/<slug:slug>/blankets/<int:pk>/dry/", whereabouts.blanket_dry, name="blanket_dry"),
    path(
        "barns/<slug:slug>/blankets/<int:pk>/take-back/<int:entry>/",
        blankets.blanket_take_back,
        name="blanket_take_back",
    ),
]
