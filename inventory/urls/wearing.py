from django.urls import path

from inventory.views import last_change, wearing

urlpatterns = [
    path("barns/<slug:slug>/horses/<int:pk>/wear/", wearing.wear, name="wear"),
    path("barns/<slug:slug>/horses/<int:pk>/last-change/", last_change.last_change, name="last_change"),
    path("barns/<slug:slug>/wearings/<int:pk>/off/", wearing.take_off, name="take_off"),
]
