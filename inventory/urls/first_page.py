from django.urls import path

from inventory.views import first_page

urlpatterns = [path("barns/<slug:slug>/", first_page.first_page, name="first_page")]
