"""Addresses of jobs, in the order of the work."""

from django.urls import path

from snath.shop.bench.jobs import (
    by_tag,
    card_views,
    list_views,
    machine_views,
    paper_views,
    plan_views,
    reading_views,
    sheet_views,
    verdict_views,
    window_views,
    withdraw_views,
)
from snath.shop.bench.measure import compare_views, strobe_views
from snath.shop.bench.measure import views as measure_views

urlpatterns = [
    path("", list_views.jobs, name="jobs"),
    path("new/", list_views.new_job, name="new-job"),
    path("card/", card_views.card, name="card"),
    path("new/by-tag/", by_tag.by_tag, name="by-tag"),
    path("new/machine/", machine_views.new_machine, name="new-machine"),
    path("new/paste/", machine_views.paste, name="paste-sheet"),
    path("<int:number>/", window_views.job, name="job"),
    path("<int:number>/plan/", plan_views.plan, name="job-plan"),
    path("<int:number>/machine/", machine_views.job_machine, name="job-machine"),
    path("<int:number>/window/", window_views.window, name="job-window"),
    path("<int:number>/what-if/", window_views.what_if, name="job-what-if"),
    path("<int:number>/reading/", reading_views.reading, name="job-reading"),
    path("<int:number>/withdraw/", withdraw_views.withdraw, name="job-withdraw"),
    path("<int:number>/compare/", compare_views.compare, name="job-compare"),
    path("<int:number>/strobe/", strobe_views.job_strobe, name="job-strobe"),
    path("<int:number>/listen/", measure_views.listen, name="job-listen"),
    path("<int:number>/verdict/", verdict_views.verdict_page, name="job-verdict"),
    path("<int:number>/sheet/", sheet_views.sheet, name="job-sheet"),
    path("<int:number>/sheet.pdf", paper_views.sheet_pdf, name="job-pdf"),
    path("<int:number>/letter.pdf", paper_views.letter_pdf, name="job-letter"),
    path("<int:number>/tag.pdf", paper_views.tag_pdf, name="job-tag"),
    path("<int:number>/class.pdf", paper_views.class_pdf, name="job-class"),
    path("<int:number>/sealed.zip", paper_views.sealed, name="job-sealed"),
    path("<int:number>/versions/", sheet_views.versions, name="job-versions"),
    path("<int:number>/versions/<int:version>/sheet.pdf", paper_views.sheet_pdf, name="version-pdf"),
]
