"""Tell whoever watches the bench that it answers and reaches its records; a stranger hears nothing else."""

from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from snath.shop.site.access import open_to_all


@open_to_all
@require_safe
def health(request: HttpRequest) -> HttpResponse:
    """Answer "ok" where a row can be read; a database that is away or damaged ends in the usual 5xx."""
    del request
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM records_chainhead")
        cursor.fetchone()
    return HttpResponse("ok", content_type="text/plain")
