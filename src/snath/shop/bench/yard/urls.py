"""Addresses of the yard."""

from django.urls import path

from snath.shop.bench.yard import views

urlpatterns = [
    path("yard/", views.yard, name="yard"),
    path("yard/unsent/", views.unsent, name="yard-unsent"),
    path("yard/along/", views.along, name="yard-along"),
    path("yard/taken/", views.taken, name="yard-taken"),
    path("yard/waiting/", views.from_yard, name="from-yard"),
    path("worker.js", views.worker, name="worker"),
    path("manifest.webmanifest", views.manifest, name="manifest"),
]
