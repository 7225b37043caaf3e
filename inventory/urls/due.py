from django.urls import path

from inventory.views import due

urlpatterns = [path("barns/<slug:slug>/due/", due.due, name="due")]
