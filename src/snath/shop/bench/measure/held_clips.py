"""A clip that was given just now, so that a stretch of it can be read, or a box mended, without giving it again."""

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest
from django.utils.translation import gettext

from snath.shop.bench.measure.stretches import put
from snath.shop.records.held_clips import LARGEST, held_clip, hold
from snath.shop.records.recordings import HeldClip
from snath.shop.site.access import known_person


def clip_in(request: HttpRequest, form: forms.Form) -> HeldClip | None:
    """The clip that was sent, held from now on under the form's key, or that was held before; None for neither."""
    who, sent = known_person(request), form.cleaned_data.get("clip")
    if isinstance(sent, UploadedFile):
        if (sent.size or 0) > LARGEST:
            return None
        clip = hold(who, sent.name or "", sent.chunks())
        put(form, held=str(clip.pk))
        return clip
    return held_clip(who, str(form.data.get("held", "")))


def gone() -> str:
    """What to say of a clip that is held no more."""
    return gettext("the clip given before is gone: choose it again")
