"""Addresses under which a belt is drawn."""

from django.urls import path

from snath.shop.bench.deck import views

urlpatterns = [
    path("jobs/<int:number>/drive/draw/", views.draw, name="deck-draw"),
    path("jobs/new/deck/", views.new, name="new-deck"),
    path("drive/drawing/", views.deck_live, name="deck-live"),
]
