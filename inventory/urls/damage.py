from django.urls import path

from inventory.views import damage

urlpatterns = [
    path("barns/<slug:slug>/blankets/<int:pk>/damage/", damage.damage, name="damage"),
    path("barns/<slug:slug>/horses/<int:pk>/damage/", damage.horse_damage, name="horse_damage"),
]
