"""A clip that was given just now, so that a stretch of it can be read, or a box mended, without giving it again.

Clips are held in the memory of this process alone, because the server runs one worker: the oldest make room, and
what has not been used for ten minutes is dropped.
"""

import threading
import time
import uuid
from collections import OrderedDict
from dataclasses import dataclass, field

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest
from django.utils.translation import gettext

from snath.formulas.signals.plateaus import Plateau
from snath.shop.bench.measure.stretches import put

LARGEST = 60_000_000  # bytes of a clip that is held, and read at once
MOST = 120_000_000  # bytes of all of them
FORGOTTEN_AFTER = 600.0  # s


@dataclass(slots=True)
class HeldClip:
    """A clip by the name it was given with, and the speeds that were found to be held in all of it."""

    name: str
    content: bytes
    plateaus: tuple[Plateau, ...] = ()
    used: float = field(default_factory=time.monotonic)


_clips: OrderedDict[str, HeldClip] = OrderedDict()
_door = threading.Lock()


def hold(who: str, clip: HeldClip) -> str:
    """Hold a clip for that person; the key to ask for it again."""
    key = str(uuid.uuid4())
    with _door:
        _clips[f"{who}:{key}"] = clip
        while sum(len(one.content) for one in _clips.values()) > MOST:
            _clips.popitem(last=False)
    _look_later(f"{who}:{key}")
    return key


def held(who: str, key: str) -> HeldClip | None:
    """The clip behind a key of that person; None where it is gone."""
    with _door:
        clip = _clips.get(f"{who}:{key}")
        if clip is not None:
            clip.used = time.monotonic()
            _clips.move_to_end(f"{who}:{key}")
        return clip


def _look_later(name: str) -> None:
    timer = threading.Timer(FORGOTTEN_AFTER, _drop_unused, [name])
    timer.daemon = True
    timer.start()


def _drop_unused(name: str) -> None:
    """Drop a clip that nobody used since the last look, else look again later."""
    with _door:
        clip = _clips.get(name)
        unused = clip is not None and time.monotonic() - clip.used >= 0.99 * FORGOTTEN_AFTER
        if unused:
            del _clips[name]
    if clip is not None and not unused:
        _look_later(name)


def clip_in(request: HttpRequest, form: forms.Form) -> HeldClip | None:
    """The clip that was sent, held from now on under the form's key, or that was held before; None for neither."""
    who, sent = str(request.user.pk), form.cleaned_data.get("clip")
    if isinstance(sent, UploadedFile):
        if (sent.size or 0) > LARGEST:
            return None
        clip = HeldClip(sent.name or "", sent.read())
        put(form, held=hold(who, clip))
        return clip
    return held(who, str(form.data.get("held", "")))


def gone() -> str:
    """What to say of a clip that is held no more."""
    return gettext("the clip given before is gone: choose it again")
