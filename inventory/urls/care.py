from django.urls import path

from inventory.views import care

urlpatterns = [
    path("barns/<slug:slug>/care/", care.care, name="care"),
    path("barns/<slug:slug>/care/many/", care.care_many, name="care_many"),
    path("barns/<slug:slug>/care/rules/", care.care_rules, name="care_rules"),
    path("barns/<slug:slug>/care/<int:pk>/", care.care_job, name="care_job"),
    path("barns/<slug:slug>/care/<int:pk>/take-back/", care.care_answer_back, name="care_answer_back"),
    path("barns/<slug:slug>/care/<int:pk>/<slug:word>/", care.care_step, name="care_step"),
    path("barns/<slug:slug>/care/papers/<int:pk>/", care.paper, name="paper"),
    path("barns/<slug:slug>/blankets/<int:pk>/care/", care.care_ask, name="care_ask"),
]
