from django.urls import path

from horses.views import owner

urlpatterns = [
    path("barns/<slug:slug>/horses/<int:pk>/owners/", owner.owner_add, name="owner_add"),
    path("barns/<slug:slug>/horse-owners/<int:pk>/", owner.owner_end, name="owner_end"),
]
