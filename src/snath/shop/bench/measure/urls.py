"""Addresses of measuring."""

from django.urls import path

from snath.shop.bench.measure import live_views, strobe_views, views

urlpatterns = [
    path("", views.measure, name="measure"),
    path("pieces/", live_views.piece, name="piece"),
    path("strobe/", strobe_views.strobe, name="strobe"),
]
