from django.urls import path

from barnrugs.barns.views import worker

urlpatterns = [
    path("worker.js", worker.worker, name="worker"),
    path("manifest.webmanifest", worker.manifest, name="manifest"),
    path("no-signal/", worker.no_signal, name="no_signal"),
]
