from django.urls import path

from barnrugs.barns.views import invitations

urlpatterns = [
    path("barns/<slug:slug>/people/<int:pk>/invite/", invitations.invite, name="invite"),
    path("come-in/", invitations.come_in, name="come_in"),
    path("come-in/<str:code>/", invitations.come_in_by, name="come_in_by"),
]
