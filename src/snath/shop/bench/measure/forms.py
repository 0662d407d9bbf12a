"""What must be said beside a recording before it can be a reading."""

from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_lazy

from snath.shop.bench.fields import ShopForm
from snath.shop.bench.jobs.reading_form import StateForm
from snath.shop.bench.measure.film_fields import FilmFields
from snath.shop.bench.measure.known_engine import EngineFields
from snath.shop.bench.measure.phones import PhoneFields
from snath.shop.bench.measure.stretches import StretchFields
from snath.shop.records.held_clips import LARGEST

SOURCES = ("clip", "session", "held", "recording")  # the first that was given is read
CLIPS = ".wav,.mp3,.m4a,.ogg,.webm,.mp4,.mov,.csv,audio/*,video/*"


class ListenForm(StateForm, StretchFields, FilmFields, PhoneFields):
    """A clip, one kept on the job, or what was heard live, with the state of the machine."""

    session = forms.CharField(required=False, max_length=36, widget=forms.HiddenInput)
    held = forms.CharField(required=False, max_length=36, widget=forms.HiddenInput)
    recording = forms.ChoiceField(label=gettext_lazy("Recording on this job"), required=False)
    clip = forms.FileField(
        label=gettext_lazy("Clip from the phone"),
        required=False,
        widget=forms.FileInput(attrs={"accept": CLIPS}),
        help_text=gettext_lazy("Sound or film with sound, or a list of pulse times (CSV)."),
    )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not any(given.get(name) for name in SOURCES) and "clip" not in self.errors:
            self.add_error("clip", gettext_lazy("Choose a clip, or listen first and then keep it."))
        return given


class ClipForm(EngineFields, StretchFields, FilmFields, PhoneFields, ShopForm):
    """A clip with nothing known of the machine but its engine; held on, it need not be given again."""

    held = forms.CharField(required=False, max_length=36, widget=forms.HiddenInput)
    clip = forms.FileField(
        label=gettext_lazy("Clip from the phone"),
        required=False,
        widget=forms.FileInput(attrs={"accept": CLIPS}),
    )

    def clean_clip(self) -> Any:
        clip = self.cleaned_data["clip"]
        if clip is not None and clip.size > LARGEST:
            words = gettext("“%(given)s”: must be at most %(mb)d MB")
            raise forms.ValidationError(words % {"given": clip.name, "mb": LARGEST // 1_000_000})
        return clip

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not given.get("clip") and not given.get("held") and "clip" not in self.errors:
            self.add_error("clip", self.fields["clip"].error_messages["required"])
        return given
