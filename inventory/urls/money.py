from django.urls import path

from inventory.views import money

MONTH = "<int:year>/<int:month>"

urlpatterns = [
    path("barns/<slug:slug>/money/", money.money, name="money"),
    path("barns/<slug:slug>/money/fees/", money.fee_rule, name="fee_rule"),
    path(f"barns/<slug:slug>/money/statements/{MONTH}/", money.statements, name="statements"),
    path(f"barns/<slug:slug>/money/statements/<int:pk>/{MONTH}/", money.statement, name="statement"),
    path(f"barns/<slug:slug>/money/statements/<int:pk>/{MONTH}.csv", money.statement_file, name="statement_file"),
]
