from django.urls import path

from inventory.views import fit

urlpatterns = [
    path("barns/<slug:slug>/blankets/<int:pk>/fit/", fit.fit_note_add, name="fit_note_add"),
    path("barns/<slug:slug>/fit-notes/<int:pk>/", fit.fit_note_close, name="fit_note_close"),
]
