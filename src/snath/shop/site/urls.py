"""Which address belongs to which page: people, login and pairing here, the shop's work in the bench."""

from importlib.util import find_spec

from django.urls import URLPattern, URLResolver, include, path

from snath.shop.site.health import health

urlpatterns: list[URLPattern | URLResolver] = [
    path("health/", health, name="health"),
    path("", include("snath.shop.site.people.urls")),
]
if find_spec("snath.shop.bench.urls"):
    urlpatterns.append(path("", include("snath.shop.bench.urls")))

handler400 = "snath.shop.site.errors.not_understood"
handler404 = "snath.shop.site.errors.missing"
handler500 = "snath.shop.site.errors.broken"
