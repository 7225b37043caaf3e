from django.urls import path

from inventory.views import labels, tags

urlpatterns = [
    path("t/<int:barn>/<str:tag>", tags.scanned, name="scanned"),
    path("barns/<slug:slug>/tag/", tags.tag, name="tag"),
    path("barns/<slug:slug>/tags/", labels.tags, name="tags"),
    path("barns/<slug:slug>/labels/", labels.labels, name="labels"),
]
