"""Addresses of what is sent to a customer."""

from django.urls import path

from snath.shop.bench.send import views

urlpatterns = [
    path("jobs/<int:number>/send/", views.send, name="job-send"),
    path("letter/<str:token>/", views.letter_link, name="letter-link"),
    path("letter/<str:token>/letter.pdf", views.letter_file, name="letter-file"),
]
