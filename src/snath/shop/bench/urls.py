"""Addresses of the bench, one list per shop task."""

from django.urls import include, path

from snath.shop.bench import drafts, preferences_views
from snath.shop.bench.jobs import sheet_views
from snath.shop.bench.shelf import first_start

app_name = "bench"
urlpatterns = [
    path("liking/", preferences_views.preferences, name="preferences"),
    path("drafts/<str:key>/", drafts.keep_draft, name="draft"),
    path("drafts/<str:key>/drop/", drafts.start_afresh, name="draft-drop"),
    path("start/", first_start.first_start, name="first-start"),
    path("tag/<uuid:record>/", sheet_views.tag, name="tag"),
    path("today/", include("snath.shop.bench.today.urls")),
    path("jobs/", include("snath.shop.bench.jobs.urls")),
    path("jobs/", include("snath.shop.bench.running.urls")),
    path("measure/", include("snath.shop.bench.measure.urls")),
    path("shelf/", include("snath.shop.bench.shelf.urls")),
    path("help/", include("snath.shop.bench.help.urls")),
    path("shelf/fleet/", include("snath.shop.bench.fleet.urls")),
    path("teach/", include("snath.shop.bench.teach.urls")),
    path("", include("snath.shop.bench.deck.urls")),
    path("", include("snath.shop.bench.send.urls")),
    path("", include("snath.shop.bench.yard.urls")),
    path("", include("snath.shop.bench.drive.urls")),
    path("", include("snath.shop.bench.quick.urls")),
]
