from django.urls import path

from inventory.views import tonight

urlpatterns = [
    path("barns/<slug:slug>/tonight/", tonight.tonight, name="tonight"),
    path("barns/<slug:slug>/horses/<int:pk>/choose/", tonight.choose, name="choose"),
]
