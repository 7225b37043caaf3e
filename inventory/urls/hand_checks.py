from django.urls import path

from inventory.views import hand_checks

urlpatterns = [
    path("barns/<slug:slug>/horses/<int:pk>/hand-check/", hand_checks.hand_check, name="hand_check"),
    path("barns/<slug:slug>/horses/<int:pk>/hand-checks/", hand_checks.hand_checks, name="hand_checks"),
    path("barns/<slug:slug>/hand-checks/<int:pk>/back/", hand_checks.hand_check_back, name="hand_check_back"),
]
