from django.urls import path

from inventory.views import horse

urlpatterns = [path("barns/<slug:slug>/horses/<int:pk>/", horse.horse, name="horse")]
