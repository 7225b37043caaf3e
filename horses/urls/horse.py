from django.urls import path

from horses.views import horse

urlpatterns = [
    path("barns/<slug:slug>/horses/", horse.horses, name="horses"),
    path("barns/<slug:slug>/horses/order/", horse.horse_order, name="horse_order"),
    path("barns/<slug:slug>/horses/new/", horse.horse_add, name="horse_add"),
    path("barns/<slug:slug>/horses/<int:pk>/change/", horse.horse_change, name="horse_change"),
    path("barns/<slug:slug>/horses/<int:pk>/place/", horse.horse_place, name="horse_place"),
    path("barns/<slug:slug>/horses/<int:pk>/handling/", horse.horse_handling, name="horse_handling"),
    path("barns/<slug:slug>/horses/<int:pk>/vet/", horse.horse_vet, name="horse_vet"),
    path("barns/<slug:slug>/horses/<int:pk>/presence/", horse.horse_presence, name="horse_presence"),
    path("barns/<slug:slug>/horses/<int:pk>/edits/<int:entry>/", horse.horse_take_back, name="horse_take_back"),
]
