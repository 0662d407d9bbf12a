"""Django for the tests of the shop: its own data folder, set before anything asks for settings."""

import os
import tempfile

os.environ["SNATH_DATA"] = tempfile.mkdtemp(prefix="snath-tests-")
os.environ["DJANGO_SETTINGS_MODULE"] = "snath.shop.site.settings"

import django

django.setup()
