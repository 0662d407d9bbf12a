"""Addresses of the fleet."""

from django.urls import path

from snath.shop.bench.fleet import in_views, views

urlpatterns = [
    path("", views.fleet, name="fleet"),
    path("work/", views.work, name="fleet-work"),
    path("in/", in_views.take, name="fleet-in"),
    path("fleet.csv", views.table, name="fleet-table"),
]
