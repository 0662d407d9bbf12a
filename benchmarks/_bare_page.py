"""The page others are measured against: the framework, one row read through the ORM, and nothing else.

python -m benchmarks._bare_page FILE PORT
"""

import os
import sys

import django
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.urls import path

FILE, PORT = "BARE_FILE", "BARE_PORT"

if not settings.configured:
    settings.configure(
        ALLOWED_HOSTS=["localhost", "127.0.0.1"],
        DATABASES={
            "default": {
                "ENGINE": "django.db.backends.sqlite3",
                "NAME": os.environ.get(FILE, sys.argv[1] if len(sys.argv) > 1 else ":memory:"),
                "CONN_MAX_AGE": None,
            }
        },
        INSTALLED_APPS=["django.contrib.contenttypes"],
        MIDDLEWARE=["django.middleware.common.CommonMiddleware"],
        ROOT_URLCONF="benchmarks._bare_page",
        SECRET_KEY="x" * 50,
        TEMPLATES=[{"BACKEND": "django.template.backends.django.DjangoTemplates"}],
    )
    django.setup()

from django.contrib.contenttypes.models import ContentType  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.core.wsgi import get_wsgi_application  # noqa: E402
from django.template import engines  # noqa: E402

PAGE = engines["django"].from_string("<!doctype html><title>{{ row }}</title><p>{{ row.app_label }}</p>")


def page(request: HttpRequest) -> HttpResponse:
    """One row as a page."""
    return HttpResponse(PAGE.render({"row": ContentType.objects.get(pk=1)}, request))


urlpatterns = [path("", page)]
application = get_wsgi_application()


def main(file: str, port: str) -> None:
    """Make the row and serve the page."""
    from granian.constants import Interfaces
    from granian.log import LogLevels
    from granian.server import Server

    os.environ[FILE] = file
    call_command("migrate", verbosity=0)
    Server(
        "benchmarks._bare_page:application",
        port=int(port),
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=4,
        log_level=LogLevels.warning,
    ).serve()


if __name__ == "__main__":
    main(*sys.argv[1:])
