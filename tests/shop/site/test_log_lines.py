"""The log is read by machines and holds nothing of a customer: no address as typed, no word of a fault."""

import json
import logging
import re

import pytest
from django.test import Client

from snath.shop.site.log_lines import NUMBER, JsonLines, logging_setup

NAME = "Orchard by the Weir"


@pytest.fixture
def lines():
    """Every line that would be printed."""
    told: list[dict] = []

    class Kept(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            line = self.format(record)
            assert "\n" not in line
            told.append(json.loads(line))

    kept, root, requests = Kept(), logging.getLogger(), logging.getLogger("snath.requests")
    kept.setFormatter(JsonLines())
    before = requests.level
    root.addHandler(kept)
    requests.setLevel("INFO")
    yield told
    root.removeHandler(kept)
    requests.setLevel(before)


@pytest.mark.django_db
def test_each_request_has_a_line_with_its_number_page_and_status_and_not_what_was_typed(lines):
    local = Client(HTTP_HOST="localhost:8077")
    answer = local.get("/jobs/", {"q": NAME})
    assert local.get(f"/nowhere/{NAME}/").status_code == 404
    found = [line for line in lines if line["from"] == "snath.requests"]
    assert found[0]["request"] == answer[NUMBER]
    assert [(line["method"], line["page"], line["status"]) for line in found] == [
        ("GET", "bench:jobs", 200),
        ("GET", None, 404),
    ]
    assert all(line["ms"] >= 0 and re.fullmatch(r"[-0-9T:.+]+", line["at"]) for line in found)
    assert len({line["request"] for line in found}) == 2
    assert NAME not in json.dumps(lines)


@pytest.mark.django_db
def test_a_fault_of_ours_is_told_by_kind_and_place_and_the_page_names_the_same_number(lines, monkeypatch):
    def broken(request, key=None):
        raise RuntimeError(f"no {NAME}") from KeyError(NAME)

    monkeypatch.setattr("snath.shop.site.people.people_views.Paginator", broken)
    answer = Client(HTTP_HOST="localhost:8077", raise_request_exception=False).get("/people/log/")
    assert answer.status_code == 500
    told = next(line for line in lines if line["level"] == "error")
    assert told["fault"] == ["RuntimeError", "KeyError"]
    assert any("people_views.py" in place for place in told["where"])
    assert told["request"] == answer[NUMBER]
    assert answer[NUMBER].encode() in answer.content
    assert NAME not in json.dumps(lines)


def test_words_of_another_library_are_not_told_only_where_they_were_said(lines):
    logging.getLogger("elsewhere").warning("customer %s", NAME)
    logging.getLogger("elsewhere").warning(f"customer {NAME}")
    logging.getLogger("snath.line").warning("line of recordings: %s", NAME)
    assert [line["said"].split(",")[0] for line in lines] == [
        "test_log_lines", "test_log_lines", "line of recordings: %s",
    ]  # fmt: skip


def test_without_being_asked_for_only_what_goes_wrong_is_told():
    assert logging_setup(lines=False)["loggers"]["snath.requests"]["level"] == "WARNING"
    assert logging_setup(lines=True)["loggers"]["snath.requests"]["level"] == "INFO"
