from django.urls import path

from inventory.views import kept

urlpatterns = [
    path("barns/<slug:slug>/kept/", kept.kept, name="kept"),
    path("barns/<slug:slug>/kept/not-done/", kept.kept_not_done, name="kept_not_done"),
    path("barns/<slug:slug>/kept/other/", kept.kept_other, name="kept_other"),
    path("barns/<slug:slug>/kept/hand-check/", kept.kept_hand_check, name="kept_hand_check"),
    path("barns/<slug:slug>/kept/blanket/", kept.kept_blanket, name="kept_blanket"),
    path("barns/<slug:slug>/kept/no-signal/", kept.kept_no_signal, name="kept_no_signal"),
    path("barns/<slug:slug>/kept/damage/", kept.kept_damage, name="kept_damage"),
]
