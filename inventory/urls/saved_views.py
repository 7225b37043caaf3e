from django.urls import path

from inventory.views import saved_views

urlpatterns = [
    path("barns/<slug:slug>/views/save/", saved_views.view_save, name="view_save"),
    path("barns/<slug:slug>/views/<int:pk>/remove/", saved_views.view_remove, name="view_remove"),
]
