from django.urls import path

from inventory.views import questions

urlpatterns = [
    path("barns/<slug:slug>/questions/", questions.question_list, name="questions"),
    path("barns/<slug:slug>/questions/<int:pk>/", questions.question_answer, name="question_answer"),
    path("barns/<slug:slug>/questions/<int:pk>/picture/", questions.question_picture, name="question_picture"),
]
