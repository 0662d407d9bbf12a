"""What `snath verify FILE` says of a sealed file: what was changed, what the seal is worth, how to read it."""

from collections.abc import Iterator
from typing import Any

from snath.shop.paper.sealed_check import SealCheck

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
