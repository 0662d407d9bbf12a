"""Everything goes into one file and comes out of it again, on every database, or not at all."""

import io
import json
import zipfile
from datetime import date
from pathlib import Path

import pytest

from snath.decisions.reading.check import Point
from snath.quantities.errors import InputError
from snath.shop.records import rows, store
from snath.shop.records.archive import read_archive, write_archive
from snath.shop.records.attachments import keep_recording, place_of
from snath.shop.records.backup import backup, restore
from snath.shop.records.chain import verify_chain
from snath.shop.records.instrument_checks import record_check
from snath.shop.records.jobs import JobTouch, JobVersion, SearchWord
from snath.shop.records.machines import EarlierSheet
from snath.shop.records.pairing import accept, invite
from snath.shop.records.people import Person, Role
from snath.shop.records.rows_back import is_empty
from snath.shop.records.sealed import PIECE, Sealer, unseal
from snath.shop.records.shop import InstrumentRecord, ShopRule, StockPart
from snath.shop.records.store import audit
from snath.shop.site.data_folder import DataFolder
from tests.shop.records.shop_of_our_own import customer, machine, save
from tests.told import refused

pytestmark = pytest.mark.django_db


COMPARED = (
    b'{"method": "sound", "recorded": 55.0, "u_recorded": 0.1, "tachometer": 55.1, "u_tachometer": 0.02}\n'
)


@pytest.fixture(autouse=True)
def compared(tmp_path, settings) -> Path:
    """A recording was held beside a tachometer once; that lies beside the records."""
    settings.FOLDER = DataFolder(tmp_path)
    (tmp_path / "comparisons.jsonl").write_bytes(COMPARED)
    return tmp_path / "comparisons.jsonl"


@pytest.fixture
def full_shop(mechanic) -> Person:
    """At least one row in every table that is kept."""
    store.shop_settings()
    ShopRule.objects.create(rule_id="ours", text='[[rule]]\nid = "ours"', changed_by=mechanic)
    tach = InstrumentRecord.objects.create(code="tach-1", name="grey", accuracy=0.0005, digits=1 / 60)
    record_check(tach, date(2026, 1, 2), "counter", [Point(60.1, 60.0, 0.001)], mechanic)
    StockPart.objects.create(kind="sheave", name='3.10" outside', data='{"outside": 0.07874}')
    job = store.open_job(mechanic, machine=machine(customer(name='Ø ½ 早 \u2028 \\ " end')))
    EarlierSheet.objects.create(machine=job.machine, sheet="sheet = 1", reading='{"reading": "3,400 rpm"}')
    for expected in range(3):
        save(job, mechanic, expected=expected, mark="as it was")
    keep_recording([b"sound"], "x.wav", mechanic, job=job)
    store.save_draft(mechanic, "form", {"blade": "21 in"})
    accept(invite("phone at the lift", Role.READER, mechanic))
    return mechanic


def archive_of(**how) -> bytes:
    out = io.BytesIO()
    write_archive(out, **{"secrets": True, **how})
    return out.getvalue()


def empty_the_shop() -> None:
    for model in (JobTouch, SearchWord, *reversed(rows.KEPT)):
        model._default_manager.all()._raw_delete("default")
    assert is_empty("default")


def test_every_table_is_kept_or_can_be_worked_out(full_shop):
    from django.apps import apps

    kept = {model.__name__ for model in rows.KEPT}
    everything = {model.__name__ for model in apps.get_app_config("records").get_models()}
    assert everything - kept == {
        "JobTouch",
        "SearchWord",
        "ApiKey",
        "Attempt",
        "RecordingAsk",
        "HeldClip",
        "HeardPiece",
    }  # worked out anew, or worth nothing later
    for model in rows.KEPT:
        assert model._default_manager.exists(), f"{model.__name__} needs a row for these tests"


def test_what_comes_out_is_byte_for_byte_what_went_in(full_shop, attachments, compared):
    before = archive_of()
    touched, words = JobTouch.objects.count(), set(SearchWord.objects.values_list("word", "record"))
    empty_the_shop()
    for path in attachments.rglob("*/*"):
        path.unlink()
    compared.unlink()
    restored = read_archive(io.BytesIO(before))
    assert archive_of() == before
    assert (restored.attachments, restored.missing, restored.breaks) == (1, (), ())
    assert compared.read_bytes() == COMPARED
    assert compared.stat().st_mode & 0o777 == 0o600
    assert JobTouch.objects.count() == touched
    assert set(SearchWord.objects.values_list("word", "record")) == words


def test_work_goes_on_after_restoring(full_shop):
    before = archive_of()
    empty_the_shop()
    read_archive(io.BytesIO(before))
    who = Person.objects.get(name=full_shop.name)
    job = store.open_job(who)
    assert (job.number, save(job, who).sequence) == (2, 4)
    assert verify_chain() == ()


def test_an_export_holds_no_password_and_no_pairing_and_comes_in_again(full_shop):
    full_shop.set_unusable_password()
    full_shop.save()
    handed_on = archive_of(secrets=False)
    text = zipfile.ZipFile(io.BytesIO(handed_on)).read("records.jsonl").decode()
    assert full_shop.password not in text
    assert '"password"' not in text
    assert "token_hash" not in text
    empty_the_shop()
    read_archive(io.BytesIO(handed_on))
    assert archive_of(secrets=False) == handed_on
    assert not Person.objects.get(name=full_shop.name).check_password("")


def test_a_shop_in_use_is_never_overwritten(full_shop):
    before = archive_of()
    assert read_archive(
        io.BytesIO(before)
    ).already  # its own rows, each of them: a restore that was ended late
    assert archive_of() == before
    audit(full_shop, "did something since")
    since = archive_of()
    with refused("must be empty"):
        read_archive(io.BytesIO(before))
    assert archive_of() == since


def test_other_comparisons_in_the_folder_are_never_overwritten(full_shop, compared):
    before = archive_of()
    empty_the_shop()
    compared.write_bytes(COMPARED * 2)
    with refused("holds other comparisons"):
        read_archive(io.BytesIO(before))
    assert compared.read_bytes() == COMPARED * 2
    assert is_empty("default")


def test_a_shop_that_never_compared_anything_has_no_such_file_in_its_backup(full_shop, compared):
    compared.unlink()
    before = archive_of()
    assert "comparisons.jsonl" not in zipfile.ZipFile(io.BytesIO(before)).namelist()
    empty_the_shop()
    read_archive(io.BytesIO(before))
    assert not compared.exists()


def test_trying_a_backup_out_leaves_the_comparisons_alone(full_shop, compared):
    before = archive_of()
    empty_the_shop()
    compared.unlink()
    read_archive(io.BytesIO(before), keep_files=False)
    assert not compared.exists()


def test_comparisons_beyond_any_shop_are_refused_unread(compared):
    zeros = rezipped(HEAD, **{"comparisons.jsonl": bytes(50_000_001)})
    with refused("at most 50 MB"):
        read_archive(zeros)


def test_a_broken_chain_is_restored_as_it_is_and_shown(full_shop):
    lines = (
        zipfile.ZipFile(io.BytesIO(archive_of()))
        .read("records.jsonl")
        .decode()
        .replace("as it was", "forged")
    )
    empty_the_shop()
    restored = read_archive(rezipped(lines))
    assert [found.sequence for found in restored.breaks] == [1, 2, 3]


def rezipped(lines: str, **others: bytes) -> io.BytesIO:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("records.jsonl", lines)
        for name, data in others.items():
            archive.writestr(name, data)
    out.seek(0)
    return out


HEAD = '{"format":"snath-records-1","secrets":false}\n'


def row(table: str, **fields) -> str:
    return json.dumps({"table": table, "row": fields}) + "\n"


ID = "11111111-1111-4111-8111-111111111111"
AT = "2026-01-01T00:00:00Z"
MACHINE = {"id": ID, "name": "x", "created_at": AT}
PERSON = {"id": ID, "name": "x", "role": "owner", "kind": "login", "created_at": "2026-01-01T00:00:00+00:00"}
HOSTILE = {
    "another format": '{"format":"other"}\n',
    "no json": HEAD + "{\n",
    "unknown table": HEAD + row("auth_user", name="x"),
    "unknown column": HEAD + row("customer", id=ID, is_staff=True),
    "role that does not exist": HEAD + row("person", **{**PERSON, "role": "god"}),
    "too long": HEAD + row("person", **{**PERSON, "name": "x" * 61}),
    "zero byte": HEAD + row("person", **{**PERSON, "name": "x\x00"}),
    "time without offset": HEAD + row("person", **{**PERSON, "created_at": "2026-01-01T00:00:00"}),
    "missing value": HEAD + row("person", **{**PERSON, "created_at": None}),
    "path for a hash": HEAD
    + row("attachment", id=ID, sha256="../../../etc/passwd", kind="photo", media="x", size=1, at=AT, who="x"),
    "negative count": HEAD + row("stockpart", id=ID, kind="x", name="x", count=-1),
    "child without parent": HEAD + row("machinerecord", customer_id=ID, **MACHINE),
    "parent after child": HEAD + row("machinerecord", **MACHINE) + row("person", **PERSON),
    "row that is a list": HEAD + '{"table":"customer","row":[1]}\n',
    "deep nesting": HEAD + "[" * 100_000 + "\n",
}  # fmt: skip


@pytest.mark.parametrize("lines", HOSTILE.values(), ids=HOSTILE)
@pytest.mark.django_db(transaction=True)
def test_a_file_that_is_not_ours_is_refused_with_its_line_and_changes_nothing(lines):
    with pytest.raises(InputError):
        read_archive(rezipped(lines))
    assert is_empty("default")
    assert not Person.objects.exists()


@pytest.mark.parametrize(
    "name",
    [
        "../secret-key",
        "/etc/passwd",
        "attachments/../../x",
        "attachments/" + "A" * 64,
        "x.html",
        "records.jsonl/",
    ],
)
def test_a_name_in_the_archive_that_could_lead_elsewhere_is_refused(name, attachments):
    with refused("must hold"):
        read_archive(rezipped(HEAD, **{name: b"x"}))
    assert not [path for path in attachments.rglob("*") if path.is_file()]


def test_an_attachment_that_is_not_what_its_name_says_is_refused():
    with refused("damaged"):
        read_archive(rezipped(HEAD, **{"attachments/" + "0" * 64: b"x"}))


@pytest.mark.parametrize("data", [b"", b"PK", b"not a zip" * 99])
def test_a_file_that_is_no_archive_is_refused(data, tmp_path):
    (tmp_path / "x").write_bytes(data)
    with refused("must be a whole export or backup"):
        restore(tmp_path / "x")


def test_a_missing_or_changed_attachment_is_named_and_the_rest_is_kept(full_shop, tmp_path):
    sha256 = next(place for place in place_of("0" * 64).parent.parent.rglob("*/*")).name
    place_of(sha256).write_bytes(b"changed")
    written = backup(tmp_path / "b")
    assert written.missing == (sha256,)


def test_neither_the_folders_key_nor_a_certificate_is_in_a_backup(full_shop, tmp_path, settings):
    backup(tmp_path / "b")
    names = zipfile.ZipFile(tmp_path / "b").namelist()
    assert {name.split("/")[0] for name in names} == {"records.jsonl", "comparisons.jsonl", "attachments"}
    assert settings.SECRET_KEY.encode() not in zipfile.ZipFile(tmp_path / "b").read("records.jsonl")


def test_a_sealed_backup_wants_its_passphrase(full_shop, tmp_path):
    backup(tmp_path / "b", passphrase="four words are enough")
    with refused("must be given"):
        restore(tmp_path / "b")
    with refused("must be the one"):
        restore(tmp_path / "b", passphrase="four words are not enough")


@pytest.fixture(autouse=True)
def quick_key(monkeypatch):
    """Guessing need not be slow in a test."""
    monkeypatch.setattr("snath.shop.records.sealed.COST", 1 << 10)


def sealed(data: bytes) -> bytes:
    out = io.BytesIO()
    sealer = Sealer(out, "pass")
    sealer.write(data)
    sealer.finish()
    return out.getvalue()


@pytest.mark.parametrize("size", [0, 1, PIECE - 1, PIECE, PIECE + 1, 3 * PIECE])
def test_sealing_gives_every_length_back(size):
    data, out = bytes(range(256)) * (size // 256 + 1), io.BytesIO()
    unseal(io.BytesIO(sealed(data[:size])), "pass", out)
    assert out.getvalue() == data[:size]


def test_a_sealed_file_that_was_changed_cut_or_rearranged_is_refused():
    whole = sealed(b"x" * (3 * PIECE))
    head, piece = len(whole) - 3 * (PIECE + 16), PIECE + 16
    first, second, third = (whole[head + place * piece : head + (place + 1) * piece] for place in range(3))
    for wrong in (
        whole[:-1],
        whole[:head] + first + second,
        whole[:head] + second + first + third,
        whole[:head] + first + third,
        whole + b"x",
        whole[:100] + bytes([whole[100] ^ 1]) + whole[101:],
        whole[:head],
    ):
        with pytest.raises(InputError):
            unseal(io.BytesIO(wrong), "pass", io.BytesIO())


def test_the_documented_columns_are_the_real_ones():
    text = (Path(__file__).parents[3] / "docs" / "records.md").read_text()
    for name, model in rows.BY_NAME.items():
        assert f"`{name}`" in text
        for field in model._meta.concrete_fields:
            assert f"`{field.attname}`" in text, f"docs/records.md must explain {name}.{field.attname}"
    assert JobVersion._meta.pk.name == "sequence"
