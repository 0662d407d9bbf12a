"""A page kept ready is given out only while nothing has changed, and only to whom it belongs."""

import re

import pytest
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.template import engines
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import include, path

from snath.shop.records import store
from snath.shop.records.machines import Customer
from snath.shop.records.people import Person
from snath.shop.site.ready_pages import forget, kept_ready
from tests.shop.records.shop_of_our_own import customer, machine
from tests.shop.site.conftest import HOST, Browser

pytestmark = pytest.mark.django_db(transaction=True)  # as pages are served; inside one, nothing is kept
WORKED_OUT: list[str] = []
PAGE = """<body hx-headers='{"X-CSRFToken": "{{ csrf_token }}"}'>
<form method="post">{% csrf_token %}{{ names }}</form>"""


@kept_ready
def page(request: HttpRequest) -> HttpResponse:
    WORKED_OUT.append(request.method or "")
    names = ", ".join(Customer.objects.values_list("name", flat=True))
    return HttpResponse(engines["django"].from_string(PAGE).render({"names": names}, request))


urlpatterns = [path("page/", page, name="page"), path("", include("snath.shop.site.urls"))]


@pytest.fixture(autouse=True)
def site_of_one_page():
    forget()
    WORKED_OUT.clear()
    with override_settings(ROOT_URLCONF="tests.shop.site.test_ready_pages"):
        yield
    forget()


@pytest.fixture
def local() -> Client:
    return Client(HTTP_HOST="localhost", enforce_csrf_checks=True)


def test_a_page_is_worked_out_once_while_nothing_changes_with_one_small_query(local):
    customer(name="Orchard")
    first = local.get("/page/")
    with CaptureQueriesContext(connection) as taken:
        second = local.get("/page/")
    assert len(WORKED_OUT) == 1
    assert len(taken) <= 1
    assert b"Orchard" in second.content
    assert second["Content-Type"] == first["Content-Type"]
    assert "default-src 'none'" in second["Content-Security-Policy"]


def test_any_change_of_any_row_makes_it_anew(local):
    local.get("/page/")
    owner = customer(name="Orchard")
    assert b"Orchard" in local.get("/page/").content
    owner.name = "Meadow"
    owner.save()
    assert b"Meadow" in local.get("/page/").content
    machine()
    local.get("/page/")
    store.save_draft(Person.objects.local_owner(), "form", {})
    local.get("/page/")
    owner.delete()
    assert b"Meadow" not in local.get("/page/").content


def test_each_browser_gets_a_form_token_of_its_own_that_works(local):
    other = Client(HTTP_HOST="localhost", enforce_csrf_checks=True)
    tokens = set()
    for browser in (local, other, local, other):
        text = browser.get("/page/").content.decode()
        found = set(re.findall(r"\w{64}", text))
        assert len(found) == 1, "the token in the header and the one in the form are the same"
        tokens |= found
        token = found.pop()
        assert browser.post("/page/", {"csrfmiddlewaretoken": token}).status_code == 200
        assert (
            Client(HTTP_HOST="localhost", enforce_csrf_checks=True)
            .post("/page/", {"csrfmiddlewaretoken": token})
            .status_code
            == 403
        )
    assert len(tokens) == 4


def test_how_somebody_likes_it_and_what_they_ask_for_make_pages_of_their_own(local):
    local.get("/page/")
    for different in (
        {"HTTP_COOKIE": "snath_theme=dark"},
        {"HTTP_COOKIE": "snath_units=metric"},
        {"HTTP_ACCEPT_LANGUAGE": "de"},
        {"HTTP_HX_REQUEST": "true"},
        {"QUERY_STRING": "q=1"},
        {"HTTP_HOST": "127.0.0.1"},
    ):
        before = len(WORKED_OUT)
        local.get("/page/", **different)
        assert len(WORKED_OUT) == before + 1, different


def test_with_logins_nobody_gets_a_page_made_for_somebody_else(reader, mechanic, stranger):
    reader.get("/page/")
    mechanic.get("/page/")
    assert len(WORKED_OUT) == 2
    reader.get("/page/")
    assert stranger.get("/page/").status_code in (302, 403)
    assert len(WORKED_OUT) == 2
    assert Browser(HTTP_HOST=HOST).get("/page/").status_code in (302, 403)


def test_a_page_with_a_message_to_show_is_not_kept(local):
    local.cookies["messages"] = "something to say"
    local.get("/page/")
    local.get("/page/")
    assert len(WORKED_OUT) == 2


def test_posts_are_never_kept(local):
    for _ in range(2):
        text = local.get("/page/").content.decode()
        local.post("/page/", {"csrfmiddlewaretoken": re.findall(r"\w{64}", text)[0]})
    assert WORKED_OUT.count("POST") == 2
