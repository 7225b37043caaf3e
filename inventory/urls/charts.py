from django.urls import path

from inventory.views import charts

urlpatterns = [
    path("barns/<slug:slug>/charts/", charts.charts, name="charts"),
    path("barns/<slug:slug>/chart/", charts.house_chart, name="house_chart"),
    path("barns/<slug:slug>/chart/change/", charts.house_chart_change, name="house_chart_change"),
    path("barns/<slug:slug>/chart/end/", charts.house_chart_end, name="house_chart_end"),
    path("barns/<slug:slug>/horses/<int:pk>/chart/", charts.chart, name="chart"),
    path("barns/<slug:slug>/horses/<int:pk>/chart/change/", charts.chart_change, name="chart_change"),
    path("barns/<slug:slug>/horses/<int:pk>/chart/end/", charts.chart_end, name="chart_end"),
    path("barns/<slug:slug>/horses/<int:pk>/chart/read/", charts.chart_read, name="chart_read"),
]
