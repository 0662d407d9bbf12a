"""What must be said beside a recording before it can be a reading."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from snath.shop.bench.jobs.reading_form import StateForm
from snath.shop.bench.refusals import Refusing

CLIPS = ".wav,.mp3,.m4a,.ogg,.webm,.mp4,.mov,.csv,audio/*,video/*"


class ListenForm(StateForm):
    """A clip, or what was heard live, with the state of the machine."""

    session = forms.CharField(required=False, max_length=36, widget=forms.HiddenInput)
    clip = forms.FileField(
        label=gettext_lazy("Clip from the phone"),
        required=False,
        widget=forms.FileInput(attrs={"accept": CLIPS}),
        help_text=gettext_lazy("Sound or film with sound, or a list of pulse times (CSV)."),
    )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not given.get("clip") and not given.get("session"):
            self.add_error("clip", gettext_lazy("Choose a clip, or listen first and then keep it."))
        return given


class ClipForm(Refusing, forms.Form):
    """A clip with nothing known of the machine."""

    use_required_attribute = False
    clip = forms.FileField(
        label=gettext_lazy("Clip from the phone"), widget=forms.FileInput(attrs={"accept": CLIPS})
    )
