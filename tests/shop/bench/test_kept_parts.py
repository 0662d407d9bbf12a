"""What a job's pages keep of a version: made once, anew for each language and units, after rights were asked."""

import pytest
from django.test import Client

from snath.shop.bench.jobs import kept, window_views
from snath.shop.bench.jobs.kept import newest
from snath.shop.bench.liking import Liking
from snath.shop.records import store
from snath.shop.records.models import JobRecord, Person
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db


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


def test_what_is_kept_of_a_job_holds_no_token_and_no_form_that_saves(drawn):
    page(), page("/jobs/3/verdict/")
    parts = newest(3).worked.parts
    texts = [part for part in parts.values() if isinstance(part, str)]
    assert texts
    for text in texts:
        assert "csrf" not in text
        assert 'method="post"' not in text


def test_two_who_like_it_differently_get_different_parts(drawn):
    job = newest(3)
    likings = (("inch", ".", "en"), ("metric", ".", "en"), ("inch", ",", "en"), ("inch", ".", "de"))
    made = [job.kept("x", Liking("auto", *liking), lambda: object()) for liking in likings]
    assert len({id(one) for one in made}) == 4
