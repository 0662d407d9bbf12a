"""Addresses of another drive for a job, and of the stock it is chosen from."""

from django.urls import path

from snath.shop.bench.drive import paper_views, stock_views, views

urlpatterns = [
    path("jobs/<int:number>/drive/", views.another_drive, name="job-drive"),
    path("jobs/<int:number>/drive/pick/", views.pick, name="drive-pick"),
    path("jobs/<int:number>/drive/parts.pdf", paper_views.offered, name="drive-paper"),
    path("jobs/<int:number>/versions/<int:version>/drive.pdf", paper_views.fitted, name="version-drive"),
    path("shelf/stock/tables/", stock_views.stock_tables, name="stock-tables"),
]
