"""Addresses of the shelf."""

from django.urls import path

from snath.shop.bench.jobs import again_views
from snath.shop.bench.shelf import instrument_views, paper_views, rule_views, views
from snath.shop.bench.stock import paste_views
from snath.shop.bench.stock import views as stock_views

urlpatterns = [
    path("", views.shelf, name="shelf"),
    path("machines/", views.machines, name="machines"),
    path("machines/<uuid:key>/", views.machine, name="machine"),
    path("machines/<uuid:key>/again/", again_views.again, name="again"),
    path("customers/", views.customers, name="customers"),
    path("customers/<uuid:key>/", views.customer, name="customer"),
    path("instruments/", instrument_views.instruments, name="instruments"),
    path("instruments/labels.pdf", paper_views.labels, name="instrument-labels"),
    path("instruments/checks.pdf", paper_views.checks, name="instrument-checks"),
    path("chart/", paper_views.chart, name="chart"),
    path("instruments/<slug:code>/", instrument_views.instrument, name="instrument"),
    path("instruments/<slug:code>/check/", instrument_views.check, name="instrument-check"),
    path("stock/", stock_views.stock, name="stock"),
    path("stock/paste/", paste_views.paste, name="stock-paste"),
    path("stock/new/<slug:kind>/", stock_views.new_part, name="part-new"),
    path("stock/<uuid:key>/", stock_views.part, name="part"),
    path("stock/<uuid:key>/count/", stock_views.count, name="part-count"),
    path("rules/", rule_views.rules, name="rules"),
    path("rules/own/", rule_views.own_rule, name="own-rule"),
    path("shop/", rule_views.shop, name="shop"),
]
