"""Addresses of measuring."""

from django.urls import path

from snath.shop.bench.measure import live_views, views

urlpatterns = [
    path("", views.measure, name="measure"),
    path("pieces/", live_views.piece, name="piece"),
    path("strobe/", views.strobe, name="strobe"),
]
