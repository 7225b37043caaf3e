from django.urls import path

from horses.models import Coat, Condition, Measurement
from horses.views import measurement

OF_A_HORSE = "barns/<slug:slug>/horses/<int:pk>"
withdrawing = measurement.withdrawing

urlpatterns = [
    path("barns/<slug:slug>/horses/how-to-measure/", measurement.how_to_measure, name="how_to_measure"),
    path("barns/<slug:slug>/horses/<int:pk>/measure/", measurement.measurement_add, name="measurement_add"),
    path("barns/<slug:slug>/horses/<int:pk>/coat/", measurement.coat_add, name="coat_add"),
    path("barns/<slug:slug>/horses/<int:pk>/condition/", measurement.condition_add, name="condition_add"),
    path(f"{OF_A_HORSE}/measurements/<int:record>/", withdrawing(Measurement), name="measurement_withdraw"),
    path(f"{OF_A_HORSE}/coats/<int:record>/", withdrawing(Coat), name="coat_withdraw"),
    path(f"{OF_A_HORSE}/conditions/<int:record>/", withdrawing(Condition), name="condition_withdraw"),
]
