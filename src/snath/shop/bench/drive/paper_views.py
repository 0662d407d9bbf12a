"""The parts list of a drive: of one that is offered, and of one that was picked, as it was then."""

from django.http import Http404, HttpRequest, HttpResponse

from snath.decisions.drive.stock import Stock
from snath.quantities.errors import InputError, InputErrors
from snath.shop.bench.drive.choosing import taken
from snath.shop.bench.drive.kept_route import picked_of
from snath.shop.bench.drive.stock_rows import shelf
from snath.shop.bench.drive.views import PIECES_MOST
from snath.shop.bench.jobs.kept import OpenJob, at_version, newest
from snath.shop.bench.jobs.paper_views import facts_of
from snath.shop.bench.paper_of import paper_asked, pdf, voice_asked
from snath.shop.paper.drive_sheet import drive_sheet
from snath.shop.records.store import shop_settings


def offered(request: HttpRequest, number: int) -> HttpResponse:
    """The parts list of one drive from the page."""
    job = newest(number)
    wanted = tuple(request.GET.getlist("piece")[:PIECES_MOST])
    return _printed(request, job, job, shelf().stock, wanted, f"job-{number}-drive")


def fitted(request: HttpRequest, number: int, version: int) -> HttpResponse:
    """The parts list of the drive that came with that version, from the rows it was taken from."""
    record = newest(number).record
    job = at_version(record, version)
    picked = picked_of(job.job)
    if picked is None or picked.version != version:
        raise Http404
    before = at_version(record, version - 1)
    name = f"job-{number}-version-{version}-drive"
    return _printed(request, before, job, picked.stock, picked.pieces, name)


def _printed(
    request: HttpRequest, before: OpenJob, job: OpenJob, stock: Stock, wanted: tuple[str, ...], name: str
) -> HttpResponse:
    """The drive chosen for the job as it stood `before`, printed for `job`."""
    try:
        one = taken(before.job, stock, wanted)
    except (InputError, InputErrors):
        raise Http404 from None
    shop = shop_settings()
    content = drive_sheet(
        one.found,
        one.drive,
        machine=before.job.machine.name,
        name=one.frame.name,
        made=job.job.judged_on,
        paper=paper_asked(request, shop),
        voice=voice_asked(request),
        facts=facts_of(request, job, shop),
        lies={item.number: item.place for item in stock.items},
    )
    return pdf(content, name)
