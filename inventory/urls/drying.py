from django.urls import path

from inventory.views import drying

urlpatterns = [
    path("barns/<slug:slug>/drying/", drying.drying, name="drying"),
    path("barns/<slug:slug>/blankets/<int:pk>/wet/", drying.mark_wet, name="mark_wet"),
    path("barns/<slug:slug>/wearings/<int:pk>/soaked/", drying.mark_soaked, name="mark_soaked"),
]
