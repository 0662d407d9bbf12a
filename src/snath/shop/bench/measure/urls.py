"""Addresses of measuring."""

from django.urls import path

from snath.shop.bench.measure import in_line, live_views, strobe_views, views

urlpatterns = [
    path("", views.measure, name="measure"),
    path("line/<int:number>/", in_line.in_line, name="in-line"),
    path("pieces/", live_views.piece, name="piece"),
    path("strobe/", strobe_views.strobe, name="strobe"),
]
