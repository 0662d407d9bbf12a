"""Makes the tables known to the framework."""

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    name = "snath.shop.records"
    label = "records"
