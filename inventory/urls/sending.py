from django.urls import path

from inventory.views import sending

urlpatterns = [
    path("barns/<slug:slug>/send/", sending.send, name="send"),
]
