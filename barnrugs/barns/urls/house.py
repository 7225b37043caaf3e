from django.urls import path

from barnrugs.barns.views import house

urlpatterns = [
    path("barns/<slug:slug>/barn/", house.barn, name="barn"),
    path("barns/<slug:slug>/barn/rules/", house.house_change, name="house_change"),
    path("barns/<slug:slug>/barn/rules/<int:entry>/", house.house_take_back, name="house_take_back"),
    path("barns/<slug:slug>/barn/times/", house.staffed_times, name="staffed_times"),
]
