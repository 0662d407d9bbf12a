"""Address of the day."""

from django.urls import path

from snath.shop.bench.today import views

urlpatterns = [path("", views.today, name="today")]
