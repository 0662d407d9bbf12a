"""Addresses for instructors."""

from django.urls import path

from snath.shop.bench.teach import views

urlpatterns = [
    path("", views.teach, name="teach"),
    path("class-sheet/", views.class_sheet, name="class-sheet"),
    path("<int:number>/working/", views.working, name="teach-working"),
    path("<int:number>/guess/", views.guess, name="teach-guess"),
]
