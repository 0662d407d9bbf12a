"""What every request must bring and every answer carries."""

import os
import re
import sqlite3
import subprocess
import sys
from urllib.parse import urlsplit

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client

from snath.shop.site.data_folder import DataFolder, prepare
from tests.shop.records.commands import environment
from tests.shop.site.conftest import HOST, Browser

pytestmark = pytest.mark.django_db

PAGES = ["/", "/login/", "/people/", "/nowhere/", "/static/people/pair.js"]


@pytest.fixture
def local() -> Client:
    """This machine's own browser, without --lan."""
    return Client(HTTP_HOST="localhost:8077", raise_request_exception=False)


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize(
    "host", ["evil.example", "localhost.evil.example", "127.0.0.1.nip.example", "192.168.1.20", "", "localhost@evil"]
)  # fmt: skip
def test_a_foreign_host_is_answered_400_whatever_it_asks_for(local, path, host):
    assert local.get(path, HTTP_HOST=host).status_code == 400


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://localhost:8077", "http://localhost:8078", "http://localhost", ""]
)  # fmt: skip
def test_a_foreign_origin_is_answered_400(local, path, method, origin):
    assert getattr(local, method)(path, HTTP_ORIGIN=origin).status_code == 400


@pytest.mark.parametrize("host", ["localhost:8077", "127.0.0.1:8077", "LOCALHOST:8077"])
def test_this_machine_is_let_in_by_its_own_names_and_asked_nothing(local, host):
    assert local.get("/people/", HTTP_HOST=host).status_code == 200
    assert local.get("/people/", HTTP_HOST=host, HTTP_ORIGIN=f"http://{host.lower()}").status_code in (
        200,
        400,
    )


def test_without_lan_another_machine_is_refused_even_if_a_proxy_lets_it_through(local):
    assert local.get("/people/", REMOTE_ADDR="192.168.1.77").status_code == 403
    assert local.get("/people/", REMOTE_ADDR="::1").status_code == 200


@pytest.mark.parametrize("path", PAGES)
def test_the_browser_is_told_to_allow_nothing_but_what_pages_need(local, path):
    answer = local.get(path)
    policy = dict(part.split(" ", 1) for part in answer["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == "'self'"
    assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert policy["form-action"] == "'self'"
    assert "unsafe" not in answer["Content-Security-Policy"]
    assert "*" not in answer["Content-Security-Policy"]
    assert "microphone=(self)" in answer["Permissions-Policy"]
    assert "camera=()" in answer["Permissions-Policy"]
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"
    b"".join(answer)  # to its end, where a file closes itself


def test_pages_are_not_left_in_a_shared_browsers_store_and_cannot_be_framed(local):
    answer = local.get("/people/")
    assert answer["Cache-Control"] == "no-store"
    assert answer["X-Frame-Options"] == "DENY"


OWN_PAGES = ["/login/", "/people/", "/people/add/", "/people/phone/", "/pair/", "/trust/", "/people/log/"]


@pytest.mark.parametrize("path", OWN_PAGES)
def test_no_page_carries_script_or_style_of_its_own(local, path):
    text = local.get(path).content.decode()
    assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\sstyle=|\son[a-z]+=|javascript:", text)


def test_settings_are_closed_by_default():
    assert settings.DEBUG is False
    assert settings.ALLOWED_HOSTS == [
        "localhost",
        "127.0.0.1",
        "[::1]",
        "testserver",
    ]  # the last by the test run
    assert settings.PASSWORD_HASHERS == ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    assert settings.SESSION_COOKIE_HTTPONLY
    assert settings.CSRF_COOKIE_HTTPONLY
    assert settings.SESSION_COOKIE_AGE <= 12 * 3600


def test_importing_the_settings_writes_nothing(tmp_path):
    code = "import snath.shop.site.settings as s; assert len(s.SECRET_KEY) > 60"
    env = {
        **os.environ,
        "SNATH_DATA": str(tmp_path / "none"),
        "DJANGO_SETTINGS_MODULE": "snath.shop.site.settings",
    }
    subprocess.run([sys.executable, "-c", code], env=env, check=True)
    assert not (tmp_path / "none").exists()


def test_the_frameworks_own_check_finds_nothing_with_lan_settings(tmp_path):
    prepare(DataFolder(tmp_path / "shop"))
    env = {
        **environment(),
        "SNATH_DATA": str(tmp_path / "shop"),
        "SNATH_LAN": "1",
        "SNATH_HOSTS": "shop.local,192.168.1.20",
        "DJANGO_SETTINGS_MODULE": "snath.shop.site.settings",
    }
    done = subprocess.run(
        [sys.executable, "-m", "django", "check", "--deploy", "--fail-level", "INFO"],
        env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert "no issues" in done.stdout


def test_the_tables_match_the_models():
    from django.core.management import call_command

    call_command("makemigrations", "records", check=True, dry_run=True, verbosity=0)


def test_with_lan_plain_http_is_sent_on_to_https_and_cookies_stay_on_it(owner):
    plain = Client(HTTP_HOST=HOST).get("/people/")
    assert plain.status_code == 301
    assert urlsplit(plain["Location"]).scheme == "https"
    assert owner.cookies["snath_session"]["secure"]


def test_a_form_without_its_token_is_refused(lan, owner):
    browser = Browser(enforce_csrf_checks=True)
    browser.force_login(owner.person)
    refused = browser.post("/people/add/", {"name": "x"})
    assert refused.status_code == 403
    assert b"open too long" in refused.content


def test_a_fault_of_ours_is_said_plainly_and_shows_nothing_of_the_inside(local, monkeypatch):
    def broken(request, key=None):
        raise RuntimeError("secret inside")

    monkeypatch.setattr("snath.shop.site.people.people_views.Paginator", broken)
    answer = local.get("/people/log/")
    assert answer.status_code == 500
    assert b"secret" not in answer.content
    assert b"Something broke" in answer.content
    assert "default-src 'none'" in answer["Content-Security-Policy"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("database or disk is full", b"disk is full"),
        ("attempt to write a readonly database", b"may not be written to"),
        ("disk I/O error", b"fails to read or write"),
    ],
)
def test_a_full_or_locked_disk_is_said_plainly_with_what_to_do(local, monkeypatch, words, said):
    def stop(*args, **kwargs):
        raise sqlite3.OperationalError(words)

    monkeypatch.setattr("snath.shop.site.people.people_views.add_person", stop)
    entered = {"name": "New", "role": "mechanic", "password": "long grass, dull", "again": "long grass, dull"}
    answer = local.post("/people/add/", entered)
    assert answer.status_code == 507
    assert said in answer.content
    assert b"What you just typed was not saved" in answer.content


@pytest.mark.skipif(connection.vendor != "sqlite", reason="its pragmas make the disk full")
def test_a_disk_that_cannot_be_written_is_said_plainly_on_every_kind_of_page(local):
    entered = {"name": "New", "role": "mechanic", "password": "long grass, dull", "again": "long grass, dull"}
    local.get("/people/")  # the one who stands here is known by now
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA query_only = ON")
    try:
        answers = [local.post("/people/add/", entered), local.get("/kept/jobs.csv")]
        reading = local.get("/people/")
    finally:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA query_only = OFF")
    assert [answer.status_code for answer in answers] == [507, 507]
    assert b"may not be written to" in answers[0].content
    assert reading.status_code == 200  # what is there can still be read
