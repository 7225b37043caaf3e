from django.urls import path

from barnrugs.weather.views import sources

urlpatterns = [
    path("barns/<slug:slug>/weather/", sources.weather, name="weather"),
    path("barns/<slug:slug>/weather/send/", sources.weather_send, name="weather_send"),
    path("barns/<slug:slug>/weather/<int:pk>/use/", sources.weather_use, name="weather_use"),
]
