"""Makes the site's pages and texts known to the framework."""

from django.apps import AppConfig


class SiteConfig(AppConfig):
    name = "snath.shop.site"
    label = "site"
