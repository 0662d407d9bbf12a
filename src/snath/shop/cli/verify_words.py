"""What `snath verify` says of the records, and of a sealed file: what was changed, and what that is worth."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from snath.shop.paper.sealed_check import SealCheck

if TYPE_CHECKING:  # its tables need a started framework
    from snath.shop.records.verify import Verified

STATES = {
    "changed": "changed since it was sealed",
    "unreadable": "damaged: it cannot be unpacked",
    "missing": "taken out since it was sealed",
    "added": "not in the list: put in later",
    "twice": "there twice: which one is meant cannot be told",
}
READING = """How to read it: it is an ordinary zip.
   job-sheet.pdf   the sheet, as it was printed
   job.json        what was measured, with the rule rows it was judged by, in SI units (docs/jobs.md)
   result.json     what followed from it; `snath rework FILE` works it out again from job.json
   attachments/    photos and recordings, as they were kept
   manifest.json   the list of parts, each with its SHA-256"""


def in_data(check: SealCheck, saved: bool | None) -> dict[str, Any]:
    """The answer as one object."""
    return {
        "whole": check.whole and saved is not False,
        "readable": check.readable,
        "seal": check.seal or None,
        "seal_as_told": check.sealed,
        "saved_so": saved,
        "job": check.job,
        "version": check.version,
        "record": check.record,
        "program": check.program,
        "parts": [{"name": part.name, "state": part.state} for part in check.parts],
        "kept_by_the_shop": [{"name": name, "sha256": sha256} for name, sha256 in check.kept_by_the_shop],
    }


def in_words(name: str, check: SealCheck, saved: bool | None) -> Iterator[str]:
    """The answer as lines for a person."""
    if not check.readable:
        yield f"{name}: cut off or damaged: its list of parts cannot be read, so nothing in it can be checked."
        yield "Ask for the file again."
        return
    yield f"{name}: job {check.job}, version {check.version}, sealed by {check.program}"
    yield f"seal {check.seal}"
    for part in check.changed:
        yield f"{part.name}: {STATES[part.state]}"
    yield from _verdict(check, saved)
    for kept, sha256 in check.kept_by_the_shop:
        yield f"Not enclosed, kept by the shop: {kept}, SHA-256 {sha256}"
    yield READING


def _verdict(check: SealCheck, saved: bool | None) -> Iterator[str]:
    if check.sealed is False:
        yield "This is not the seal you were told: the list of parts is another one. Trust nothing in this file."
    elif check.changed:
        yield "This file is not as it was sealed. Ask for it again."
    elif check.sealed:
        yield f"Nothing was changed: all {len(check.parts)} parts are those of the seal you were told."
    else:
        yield f"All {len(check.parts)} parts are as the list in the file has them."
        yield "Whoever can change a part can change the list: compare the seal with the one the shop tells you."
    if saved is not None:
        yield (
            "The shop's records hold this version with the same job in it."
            if saved
            else "The shop's records hold NO such version with this job in it."
        )


def records_in_data(found: "Verified") -> dict[str, Any]:
    """What was found of the records as one object."""
    from snath.shop.records.verify import COVERED, LIMIT, NOT_COVERED

    return {
        "versions": found.versions,
        "newest_hash": found.newest_hash,
        "newest_log_hash": found.newest_log_hash,
        "breaks": [{"version": one.sequence, "what": one.what} for one in found.breaks],
        "damaged": list(found.spoiled),
        "lists": list(found.lists),
        "evidence": list(found.evidence),
        "log": [{"entry": one.sequence, "what": one.what} for one in found.log],
        "rows": list(found.rows),
        "covered": list(COVERED),
        "not_covered": [*NOT_COVERED, *_older(found), LIMIT],
    }


def records_in_words(found: "Verified") -> Iterator[str]:
    """What was found of the records as lines for a person."""
    from snath.shop.records.verify import COVERED, LIMIT, NOT_COVERED

    yield f"{found.versions} versions, newest hash {found.newest_hash or '(none)'}"
    yield f"newest hash of who did what {found.newest_log_hash or '(none)'}"
    yield from (f"version {one.sequence}: {one.what}" for one in found.breaks)
    yield from (f"attachment {key}: its bytes are missing or changed" for key in found.spoiled)
    yield from (*found.lists, *found.evidence, *found.rows)
    yield from (f"who did what, entry {one.sequence}: {one.what}" for one in found.log)
    yield "Nothing of this was changed:" if found.whole else "Asked:"
    yield from (f"   {one}" for one in COVERED)
    yield "Not asked, because nothing proves it:"
    yield from (f"   {one}" for one in (*NOT_COVERED, *_older(found)))
    yield LIMIT


def _older(found: "Verified") -> Iterator[str]:
    if found.older_entries:
        yield f"{found.older_entries} entries of who did what, noted before that was a chain"
    if found.older_rows:
        yield f"{found.older_rows} rows kept before such rows were noted, until they are saved again"
