"""Addresses of login, people and pairing."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
