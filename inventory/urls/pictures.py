from django.urls import path

from inventory.views import pictures

urlpatterns = [
    path("barns/<slug:slug>/blankets/<int:pk>/picture/", pictures.picture_add, name="picture_add"),
    path("barns/<slug:slug>/pictures/<int:pk>/remove/", pictures.picture_remove, name="picture_remove"),
    path("barns/<slug:slug>/pictures/<int:pk>/small.jpg", pictures.picture, {"size": "small"}, name="picture_small"),
    path("barns/<slug:slug>/pictures/<int:pk>/full.jpg", pictures.picture, {"size": "full"}, name="picture"),
]
