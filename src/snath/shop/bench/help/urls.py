"""Addresses of the mechanic's part of the manual."""

from django.urls import path

from snath.shop.bench.help import views

urlpatterns = [
    path("", views.help_page, name="help"),
    path("<slug:page>/", views.help_page, name="help-page"),
]
