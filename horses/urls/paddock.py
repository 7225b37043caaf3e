from django.urls import path

from horses.views import paddock

urlpatterns = [
    path("barns/<slug:slug>/paddocks/", paddock.paddocks, name="paddocks"),
    path("barns/<slug:slug>/paddocks/new/", paddock.paddock_add, name="paddock_add"),
    path("barns/<slug:slug>/paddocks/<int:pk>/", paddock.paddock_change, name="paddock_change"),
    path("barns/<slug:slug>/horses/<int:pk>/paddock/", paddock.horse_paddock, name="horse_paddock"),
]
