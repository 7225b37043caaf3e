from django.urls import path

from barnrugs.barns.views import devices, this_phone

urlpatterns = [
    path("barns/<slug:slug>/phones/", devices.devices, name="devices"),
    path("barns/<slug:slug>/phones/new/", devices.device_add, name="device_add"),
    path("barns/<slug:slug>/phones/<int:pk>/", devices.device_change, name="device_change"),
    path("barns/<slug:slug>/phones/<int:pk>/revoke/", devices.device_revoke, name="device_revoke"),
    path("barns/<slug:slug>/my-pin/", devices.my_pin, name="my_pin"),
    path("this-phone/", this_phone.this_phone, name="this_phone"),
    path("this-phone/enrol/", this_phone.phone_enrol, name="phone_enrol"),
    path("token/", this_phone.token, name="token"),
]
