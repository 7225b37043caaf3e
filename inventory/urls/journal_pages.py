from django.urls import path

from inventory.views import journal_pages

OF = "barns/<slug:slug>/journal/<slug:kind>/<int:pk>"

urlpatterns = [
    path("barns/<slug:slug>/journal/", journal_pages.journal_page, name="journal"),
    path("barns/<slug:slug>/journal.csv", journal_pages.journal_file, name="journal_file"),
    path(f"{OF}/", journal_pages.journal_of, name="journal_of"),
    path(f"{OF}.csv", journal_pages.journal_of_file, name="journal_of_file"),
]
