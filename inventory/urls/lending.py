from django.urls import path

from inventory.views import lending

urlpatterns = [
    path("barns/<slug:slug>/blankets/<int:pk>/lending/", lending.blanket_lending, name="blanket_lending"),
    path("barns/<slug:slug>/blankets/<int:pk>/lend/", lending.lend_out, name="lend_out"),
    path("barns/<slug:slug>/blankets/<int:pk>/lent-back/", lending.lent_back, name="lent_back"),
    path("barns/<slug:slug>/blankets/<int:pk>/leave/", lending.leave_add, name="leave_add"),
    path("barns/<slug:slug>/blankets/<int:pk>/leave/<int:leave>/", lending.leave_end, name="leave_end"),
]
