"""Addresses of the bench, one list per shop task."""

from django.urls import include, path

from snath.shop.bench import liking_views

app_name = "bench"
urlpatterns = [
    path("liking/", liking_views.liking, name="liking"),
    path("", include("snath.shop.bench.quick.urls")),
]
