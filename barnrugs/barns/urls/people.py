from django.urls import path

from barnrugs.barns.views import people

urlpatterns = [
    path("barns/<slug:slug>/people/", people.people, name="people"),
    path("barns/<slug:slug>/people/new/", people.person_add, name="person_add"),
    path("barns/<slug:slug>/people/<int:pk>/", people.person_change, name="person_change"),
    path("barns/<slug:slug>/people/<int:pk>/leaves/", people.person_leaves, name="person_leaves"),
    path("barns/<slug:slug>/people/<int:pk>/returns/", people.person_returns, name="person_returns"),
]
