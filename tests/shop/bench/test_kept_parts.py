"""What a job's pages keep of a version: made once, anew for each language and units, after rights were asked."""

import re

import pytest
from django.test import Client

from snath.shop.bench.jobs import kept, window_views
from snath.shop.bench.jobs.kept import newest
from snath.shop.bench.preferences import Preferences
from snath.shop.records import store
from snath.shop.records.models import JobRecord, Person
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db
TOKEN = re.compile(r"\b\w{64}\b")


@pytest.fixture
def drawn(monkeypatch) -> list[str]:
    """How often a window's picture was drawn."""
    demo_shop()
    kept.worked_out.cache_clear()
    count: list[str] = []
    real = window_views.window_picture

    def counted(*args, **how):
        count.append("once")
        return real(*args, **how)

    monkeypatch.setattr(window_views, "window_picture", counted)
    return count


def page(path: str = "/jobs/3/window/", **headers: str) -> str:
    browser = Client(HTTP_HOST="localhost")
    for name in ("units",):
        if name in headers:
            browser.cookies[f"snath_{name}"] = headers.pop(name)
    answer = browser.get(path, headers=headers)
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_picture_is_drawn_once_for_a_version_and_anew_for_another_language_and_units(drawn):
    first = page()
    assert page().count("<svg") == first.count("<svg")
    assert len(drawn) == 1
    german = page(**{"accept-language": "de"})
    assert len(drawn) == 2
    assert "Erlaubte Drehzahl" in german
    assert "Erlaubte Drehzahl" not in page()
    assert ("Skip to the work" in first, "Skip to the work" in german) == (True, False)  # written once, too
    metric = page(units="metric")
    assert len(drawn) == 3
    assert " mm" in metric
    page(units="metric")
    assert len(drawn) == 3


def test_a_new_version_is_shown_at_once_and_the_other_job_never_gets_its_parts(drawn):
    record = JobRecord.objects.get(number=3)
    old = record.versions.get(version=record.version)
    other = JobRecord.objects.get(number=1)
    page()
    who = Person.objects.local_owner()
    assert page(f"/jobs/{other.number}/window/") != page()
    before = page("/jobs/3/verdict/")
    verdict = newest(3)
    twin = store.open_job(who)
    store.save_version(twin, old.job_json, old.result_json, 0, who)
    same = page(f"/jobs/{twin.number}/verdict/")  # the same text under another number: its links are its own
    assert f"/jobs/{twin.number}/reading/" in same
    assert "/jobs/3/" not in same.replace(f"/jobs/{twin.number}/", "")
    assert verdict.job.machine.name in before


def test_nothing_kept_is_touched_before_somebody_was_let_in(drawn, settings, monkeypatch):
    page()
    monkeypatch.setattr(kept.OpenJob, "kept", lambda *_: pytest.fail("touched for a stranger"))
    settings.LAN = True
    answer = Client(HTTP_HOST="localhost").get("/jobs/3/window/", secure=True)
    assert answer.status_code == 302
    assert "/login/" in answer["Location"]


def test_what_is_kept_of_a_job_holds_no_token_and_each_browser_gets_its_own_that_works(drawn):
    tokens = set()
    for browser in [Client(HTTP_HOST="localhost", enforce_csrf_checks=True) for _ in range(2)]:
        for name in ("window", "reading", "verdict", "sheet"):
            text = browser.get(f"/jobs/3/{name}/").content.decode()
            found = set(TOKEN.findall(text))
            assert len(found) == 1, name
        token = found.pop()
        tokens.add(token)
        text = browser.get("/jobs/3/verdict/").content.decode()
        base = re.findall(r'name="base" value="([0-9]+)"', text)[0]
        sent = {"base": base, "stage": "as found", "place": "0", "reason": ""}
        told = browser.post("/jobs/3/withdraw/", {**sent, "csrfmiddlewaretoken": TOKEN.findall(text)[-1]})
        assert told.status_code != 403
        assert browser.post("/jobs/3/withdraw/", sent).status_code == 403
    assert len(tokens) == 2
    texts = [part for part in newest(3).worked.parts.values() if isinstance(part, str)]
    assert any('method="post"' in text for text in texts)
    assert not any(TOKEN.search(text) for text in texts)


def test_each_page_marks_its_own_step_and_shows_its_own_readings_whatever_was_looked_at_before(drawn):
    for name in ("window", "reading", "verdict", "sheet", "window"):
        marked = re.findall(r'<a href="/jobs/3/(\w+)/" aria-current="step"', page(f"/jobs/3/{name}/"))
        assert marked == [name]
    assert "/jobs/3/withdraw/" in page("/jobs/3/verdict/")


def test_boxes_somebody_has_typed_into_or_asks_to_fill_are_written_for_them_alone(drawn):
    new = page("/jobs/3/reading/")
    again = page("/jobs/3/reading/?again=0&stage=as+found")
    assert again != new
    sent = Client(HTTP_HOST="localhost").post("/jobs/3/reading/", {"speed_1": "31xx"})
    assert sent.status_code == 422
    assert "31xx" in sent.content.decode()
    assert TOKEN.sub("", page("/jobs/3/reading/")) == TOKEN.sub("", new)


def test_two_who_like_it_differently_get_different_parts(drawn):
    job = newest(3)
    choices = (("inch", ".", "en"), ("metric", ".", "en"), ("inch", ",", "en"), ("inch", ".", "de"))
    made = [job.kept("x", Preferences("auto", *preferences), lambda: object()) for preferences in choices]
    assert len({id(one) for one in made}) == 4
