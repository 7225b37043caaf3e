from django.urls import path

from inventory.views import exports

urlpatterns = [
    path("barns/<slug:slug>/exports/", exports.exports, name="exports"),
    path("barns/<slug:slug>/exports/<slug:what>.<slug:kind>", exports.export_file, name="export_file"),
]
