"""Addresses of the quick ask."""

from django.urls import path

from snath.shop.bench.quick import views

urlpatterns = [
    path("", views.ask, name="ask"),
]
