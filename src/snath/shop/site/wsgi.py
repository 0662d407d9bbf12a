"""What the web server calls for each request."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "snath.shop.site.settings")
application = get_wsgi_application()
