"""Does the bench show the mechanic's part of the manual, in both languages, with no link that leads nowhere?"""

import re

import pytest
from django.test import Client
from django.urls import reverse
from scripts.help_pages import source

from snath.shop.bench.frame import TASKS
from snath.shop.bench.help.pages import CONTENTS, OF_TASK, PAGES

pytestmark = pytest.mark.django_db
LANGUAGES = ("en", "de")


def shown(page: str, language: str) -> str:
    address = reverse("bench:help") if page == CONTENTS else reverse("bench:help-page", args=[page])
    answer = Client(headers={"accept-language": language}).get(address)
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("page", PAGES)
def test_a_page_is_shown_with_its_title_and_leads_only_to_others_of_its_kind(page, language):
    html = shown(page, language)
    title = source(language, page).read_text("utf-8").splitlines()[0].removeprefix("# ")
    assert f"<h1>{title}</h1>" in html
    told = html.split('<div class="manual">')[1].split("</main>")[0]
    assert ".md" not in told  # a file of the manual's source is no page here
    links = re.findall(r'href="([^"]*)"', told)
    assert [link for link in links if link not in {"/help/", *(f"../{one}/" for one in PAGES)}] == []


def test_the_contents_name_every_page_in_the_reader_s_language():
    english, german = (shown(CONTENTS, language) for language in LANGUAGES)
    assert "<h1>Help</h1>" in english
    assert "<h1>Hilfe</h1>" in german
    for html in (english, german):
        assert [page for page in PAGES if f'href="{page}/"' not in html] == []


@pytest.mark.parametrize("page", PAGES)
def test_both_languages_tell_the_same_things(page):
    # A sign, not a proof: as many headings, steps and points; what was added to one is missed in the other.
    def shape(language: str) -> list[str]:
        text = source(language, page).read_text("utf-8")
        return re.findall(r"^(#+ |- |\d\. |\| )", text, re.MULTILINE)

    assert shape("de") == shape("en")


def test_the_link_to_help_leads_to_the_task_at_hand():
    assert set(OF_TASK) == {view for view, *_ in TASKS}
    assert 'class="help" href="/help/measure/"' in Client().get(reverse("bench:measure")).content.decode()
    assert 'class="help" href="/help/quick-ask/"' in Client().get("/").content.decode()
    assert 'class="help" href="/help/"' in shown("jobs", "en")


def test_a_page_that_is_not_there_is_not_found():
    assert Client().get("/help/nothing/").status_code == 404
