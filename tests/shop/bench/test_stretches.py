"""A clip of several held speeds on the pages: each is offered, each read alone, and nothing has to be given twice."""

import html
import os
import re
from datetime import timedelta

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from benchmarks.simulator.engine import Scene, record
from benchmarks.simulator.files import sound_file
from snath.decisions.job.schema import job_from_json
from snath.shop.bench.measure import forms
from snath.shop.records import held_clips
from snath.shop.records.held_clips import held_clip, held_place, hold
from snath.shop.records.models import Attachment, HeldClip, JobRecord, Person
from snath.shop.site.data_folder import DataFolder
from snath.words.render import ENGLISH, say
from tests.shop import ladder
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db

STATE = {
    "warm": "on", "choke_off": "on", "on_stop": "on", "condition": "blades in air", "shaft": "crankshaft",
    "stage": "as left",
}  # fmt: skip
SINGLE = {"engine": "4-1"}


@pytest.fixture
def folder(db, tmp_path, settings):
    settings.FOLDER = DataFolder(tmp_path)
    demo_shop()


def bench(language: str = "en") -> Client:
    return Client(headers={"host": "localhost", "accept-language": language})


def clip() -> SimpleUploadedFile:
    return SimpleUploadedFile("mower.wav", ladder.as_sound())


def stretches(page: str) -> list[str]:
    """What the buttons of the page would send."""
    return re.findall(r'name="stretch" value="([^"]+)"', page)


def box(page: str, name: str) -> str:
    found = re.search(rf'<input type="[a-z]+" name="{name}"(?: value="([^"]*)")?', page)
    assert found, name
    return html.unescape(found.group(1) or "")


def fault_at(page: str, name: str) -> str:
    found = re.search(rf'<div id="id_{name}_error">(.*?)</div>', page, re.DOTALL)
    return html.unescape(re.sub("<[^>]+>", "", found.group(1))).strip() if found else ""


def speed_on(page: str) -> float | None:
    rpm = re.search(r'data-rpm="([^"]*)"', page)
    return float(rpm.group(1).replace(",", ".")) if rpm and rpm.group(1) else None


@pytest.mark.parametrize("language", ["en", "de"])
def test_each_held_speed_of_a_clip_is_read_alone_at_a_press_without_giving_the_clip_again(folder, language):
    shop = bench(language)
    page = shop.post("/measure/", {**SINGLE, "clip": clip()}).content.decode()
    offers = stretches(page)
    assert (len(offers), speed_on(page)) == (3, None)
    for sends, rpm in zip(offers, ladder.RPM, strict=True):
        page = shop.post(
            "/measure/", {**SINGLE, "held": box(page, "held"), "stretch": sends}
        ).content.decode()
        assert speed_on(page) == pytest.approx(rpm, rel=2e-3)  # by construction, see `ladder`
        assert f"{box(page, 'begin')} {box(page, 'end')}" == sends
        assert stretches(page) == offers
        assert page.count('aria-current="true"') == 1
    whole = shop.post("/measure/", {**SINGLE, "held": box(page, "held"), "begin": "1", "stretch": ""})
    assert speed_on(whole.content.decode()) is None


@pytest.mark.parametrize(
    ("boxes", "where", "says"),
    [
        ({"begin": "soon", "end": "9"}, "begin", "“soon”: must be a time"),
        ({"begin": "4", "end": "later"}, "end", "“later”: must be a time"),
        ({"begin": "9", "end": "4.5"}, "begin", "“9 s”: must come before 4.5 s, where the stretch ends"),
        ({"begin": "99", "end": ""}, "begin", "“99 s”: must come before 16.0 s, where the recording ends"),
        ({"begin": "-1", "end": ""}, "begin", "“-1”: must be a time"),
        ({"begin": "", "end": "0"}, "end", "“0 s”: must be over 0"),
    ],
)
def test_what_is_no_stretch_is_said_at_its_box_and_neither_it_nor_the_clip_is_lost(
    folder, boxes, where, says
):
    reply = bench().post("/measure/", {**SINGLE, **boxes, "clip": clip()})
    page = reply.content.decode()
    assert reply.status_code == 422
    assert fault_at(page, where).startswith(says)
    assert {name: box(page, name) for name in boxes} == boxes
    assert "mower.wav is still here" in page
    mended = bench().post("/measure/", {**SINGLE, "begin": "4.5", "end": "9.5", "held": box(page, "held")})
    assert speed_on(mended.content.decode()) == pytest.approx(3300, rel=2e-3)


def test_a_fault_of_reading_is_told_in_the_readers_decimal_mark(folder):
    page = bench("de").post("/measure/", {**SINGLE, "begin": "20,5", "clip": clip()}).content.decode()
    assert fault_at(page, "begin") == "„20,5 s“: muss vor 16,0 s liegen, wo die Aufnahme endet"


def test_a_clip_that_is_gone_or_somebody_elses_has_to_be_given_again(folder, monkeypatch):
    somebody = Person.objects.create(name="somebody")
    clip = hold(somebody, "mower.wav", [ladder.as_sound()])
    assert held_clip(somebody, str(clip.pk)) == clip
    reply = bench().post("/measure/", {**SINGLE, "held": str(clip.pk)})
    assert reply.status_code == 422
    assert fault_at(reply.content.decode(), "clip") == "the clip given before is gone: choose it again"
    assert (
        fault_at(bench().post("/measure/", SINGLE).content.decode(), "clip")
        == "no file was chosen: choose one"
    )
    monkeypatch.setattr(held_clips, "FORGOTTEN_AFTER", timedelta(0))
    assert held_clip(somebody, str(clip.pk)) is None
    held_clips.drop_unused()
    assert held_place(clip.sha256).exists()  # somebody may be just about to hold the same again
    long_ago = held_place(clip.sha256).stat().st_mtime - 100
    os.utime(held_place(clip.sha256), (long_ago, long_ago))
    held_clips.drop_unused()
    assert not held_place(clip.sha256).exists()


def test_a_clip_too_large_to_be_read_at_once_is_refused_with_the_size_that_would_do(folder, monkeypatch):
    monkeypatch.setattr(forms, "LARGEST", 1_000_000)
    reply = bench().post("/measure/", {**SINGLE, "clip": clip()})
    assert reply.status_code == 422
    assert fault_at(reply.content.decode(), "clip") == "“mower.wav”: must be at most 1 MB"


def test_of_clips_that_do_not_fit_beside_each_other_the_oldest_goes(monkeypatch):
    monkeypatch.setattr(held_clips, "MOST", 25)
    who = Person.objects.create(name="who")
    clips = [hold(who, name, [b"012345678" + name.encode()]) for name in "abc"]
    assert [one.name for one in clips if held_clip(who, str(one.pk))] == ["b", "c"]
    assert HeldClip.objects.count() == 2


def newest(number: int):
    kept = JobRecord.objects.get(number=number)
    return job_from_json(kept.versions.order_by("-version").first().job_json)


def test_a_job_is_not_judged_by_a_clip_of_several_speeds_but_by_the_stretch_that_is_chosen(folder):
    shop, before = bench(), newest(3)
    reply = shop.post("/jobs/3/listen/", {**STATE, "base": "4", "clip": clip()})
    page = reply.content.decode()
    kept = Attachment.objects.get()
    assert (reply.status_code, JobRecord.objects.get(number=3).version, newest(3)) == (200, 4, before)
    assert re.search(rf'<option value="{kept.sha256}" selected', page)
    offers = stretches(page)
    assert len(offers) == 3
    for base, sends, rpm in ((4, offers[1], 3300), (5, offers[2], 3180)):
        sent = {**STATE, "base": str(base), "recording": kept.sha256, "stretch": sends}
        assert shop.post("/jobs/3/listen/", sent).status_code == 302
        reading = newest(3).as_left.readings[-1]
        assert reading.value.value * 60 == pytest.approx(rpm, rel=2e-3)
        assert reading.evidence == kept.sha256
        assert f"only {sends.replace(' ', ' to ')} s of the recording was read" in say(reading.why, ENGLISH)
    assert len(newest(3).as_left.readings) == len(before.as_left.readings) + 2
    assert [one.sha256 for one in newest(3).evidence].count(kept.sha256) == 1
    assert Attachment.objects.count() == 1


def test_a_wrong_box_on_a_job_loses_neither_the_clip_nor_what_was_typed(folder):
    shop = bench()
    page = shop.post("/jobs/3/listen/", {**STATE, "base": "4", "begin": "x", "clip": clip()}).content.decode()
    assert fault_at(page, "begin").startswith("“x”: must be a time")
    assert "mower.wav is still here" in page
    assert Attachment.objects.count() == 0
    again = {**STATE, "base": "4", "held": box(page, "held")}
    page = shop.post("/jobs/3/listen/", {**again, "begin": "60"}).content.decode()
    assert "where the recording ends" in fault_at(page, "begin")
    kept = Attachment.objects.get()
    assert re.search(rf'<option value="{kept.sha256}" selected', page)
    sent = {**STATE, "base": "4", "begin": "4.5", "end": "9.5", "recording": kept.sha256}
    assert shop.post("/jobs/3/listen/", sent).status_code == 302
    assert newest(3).as_left.readings[-1].value.value * 60 == pytest.approx(3300, rel=2e-3)


@pytest.mark.parametrize(
    ("engine", "cycle_turns", "firings", "rpm"),
    [
        ("4-1", 2, (0.0,), 3100),
        ("2-1", 1, (0.0,), 6000),
        ("4-2", 2, (0.0, 0.5), 3100),
        ("4-v", 2, (0.0, 0.375), 3100),
    ],
)
def test_an_engine_that_is_named_leaves_one_speed_of_a_sound(folder, engine, cycle_turns, firings, rpm):
    # The truth is the simulator's own setting; not named, its firings leave several.
    scene = Scene(rev_s=rpm / 60, cycle_turns=cycle_turns, firings=firings, snr_db=15)
    take = record(scene, np.random.default_rng(501))
    sound = sound_file(take.samples, take.rate, "wav")
    pages = [
        bench()
        .post("/measure/", {"engine": named, "clip": SimpleUploadedFile("a.wav", sound)})
        .content.decode()
        for named in (engine, "")
    ]
    assert speed_on(pages[0]) == pytest.approx(rpm, rel=5e-3)
    assert speed_on(pages[1]) is None
