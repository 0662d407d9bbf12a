"""A shop reached through its pages: served with --lan, by somebody in each role."""

import pytest
from django.test import Client

from snath.shop.records.people import Kind, Person, Role

HOST = "shop.local"


@pytest.fixture
def lan(settings):
    """Settings as `snath serve --lan` has them."""
    settings.LAN = True
    settings.ALLOWED_HOSTS = [HOST, "192.168.1.20"]
    settings.SECURE_SSL_REDIRECT = settings.SESSION_COOKIE_SECURE = settings.CSRF_COOKIE_SECURE = True
    return settings


class Browser(Client):
    """A client that asks over HTTPS by the shop's own name, and is told of faults by the page."""

    def __init__(self, **how) -> None:
        super().__init__(**{"HTTP_HOST": HOST, "raise_request_exception": False, **how})

    def request(self, **request):
        return super().request(**{**request, "wsgi.url_scheme": "https", "SERVER_PORT": "443"})


@pytest.fixture
def stranger(db, lan) -> Browser:
    return Browser()


def _as(role: Role) -> Browser:
    person = Person.objects.create(name=f"somebody {role}", role=role, kind=Kind.LOGIN, password="!")
    browser = Browser()
    browser.force_login(person)
    browser.person = person
    return browser


@pytest.fixture
def reader(db, lan) -> Browser:
    return _as(Role.READER)


@pytest.fixture
def mechanic(db, lan) -> Browser:
    return _as(Role.MECHANIC)


@pytest.fixture
def owner(db, lan) -> Browser:
    return _as(Role.OWNER)
