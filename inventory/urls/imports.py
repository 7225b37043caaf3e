from django.urls import path

from inventory.views import imports

HERE = "barns/<slug:slug>/imports/"

urlpatterns = [
    path(HERE, imports.imports, name="imports"),
    path(f"{HERE}send/<slug:what>/", imports.import_send, name="import_send"),
    path(f"{HERE}template/<slug:what>.<slug:kind>", imports.import_template, name="import_template"),
    path(f"{HERE}<int:pk>/", imports.import_run, name="import_run"),
    path(f"{HERE}<int:pk>/columns/", imports.import_columns, name="import_columns"),
    path(f"{HERE}<int:pk>/words/", imports.import_words, name="import_words"),
    path(f"{HERE}<int:pk>/confirm/", imports.import_confirm, name="import_confirm"),
    path(f"{HERE}<int:pk>/go-on/", imports.import_go_on, name="import_go_on"),
    path(f"{HERE}<int:pk>/drop/", imports.import_drop, name="import_drop"),
]
