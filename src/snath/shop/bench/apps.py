"""The bench as a Django application: its pages, its words and its marks."""

from django.apps import AppConfig


class BenchConfig(AppConfig):
    name = "snath.shop.bench"
    label = "bench"
    verbose_name = "Bench"
