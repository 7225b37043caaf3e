from django.urls import path

from inventory.views import batches

urlpatterns = [
    path("barns/<slug:slug>/batches/", batches.batches, name="batches"),
    path("barns/<slug:slug>/batches/new/", batches.batch_new, name="batch_new"),
    path("barns/<slug:slug>/batches/<int:pk>/", batches.batch, name="batch"),
    path("barns/<slug:slug>/batches/<int:pk>/hand-over/", batches.batch_hand_over, name="batch_hand_over"),
    path("barns/<slug:slug>/batches/<int:pk>/<slug:what>.csv", batches.batch_file, name="batch_file"),
    path("barns/<slug:slug>/batches/lines/<int:pk>/", batches.batch_check, name="batch_check"),
    path("barns/<slug:slug>/batches/lines/<int:pk>/back/", batches.batch_check_back, name="batch_check_back"),
]
