"""Which phone or pick-up recorded it: chosen among those this shop has compared, or typed."""

from pathlib import Path
from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext, gettext_lazy, ngettext

from snath.decisions.reading.compared import checked
from snath.decisions.reading.reading import Reading
from snath.quantities.errors import InputError
from snath.shop.bench.fields import choices_of
from snath.shop.bench.words import said
from snath.shop.media.comparisons import kept_comparisons

LONGEST_NAME = 60
NEVER_COMPARED = gettext_lazy(
    "%(phone)s (%(method)s) was never compared with a tachometer here: how far off it is itself is not in this doubt."
)


class PhoneFields(forms.Form):
    """A phone by its name; unnamed, the comparisons of all count."""

    phone = forms.ChoiceField(label=gettext_lazy("Recorded with"), required=False)
    phone_typed = forms.CharField(
        label=gettext_lazy("Phone or pick-up, by a name of your own"),
        required=False,
        max_length=LONGEST_NAME,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        help_text=gettext_lazy(
            "If named, only comparisons with a tachometer that were made with it count; else all of them."
        ),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = known_phones()
        if known:
            choices_of(self, "phone", [("", gettext("not said")), *((n, n) for n in known)])
            self.fields["phone_typed"].label = gettext("Or another, by a name of your own")
        else:
            del self.fields["phone"]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("phone") and given.get("phone_typed"):
            words = gettext("“%(given)s”: must be left empty where one is chosen above")
            self.add_error("phone_typed", words % {"given": given["phone_typed"]})
        return given

    @property
    def recorder(self) -> str:
        """The name that was chosen or typed; empty where nobody said."""
        return str(self.cleaned_data.get("phone") or self.cleaned_data.get("phone_typed") or "")


def comparisons_folder() -> Path:
    """Where this shop's comparisons are kept."""
    path: Path = settings.FOLDER.path
    return path


def known_phones() -> list[str]:
    """Phones and pick-ups that were ever compared, by name; a damaged list is told where a recording is read."""
    try:
        return sorted({one.recorder for one in kept_comparisons(comparisons_folder())} - {""})
    except InputError:
        return []


def phone_words(reading: Reading, phone: str) -> str:
    """What the shop's comparisons with that phone have to do with this doubt; empty where none was named."""
    if not phone or not reading.decided:
        return ""
    count = checked(kept_comparisons(comparisons_folder()), reading.method, recorder=phone).count
    words = {"phone": phone, "count": count, "method": said(reading.method)}
    if not count:
        return str(NEVER_COMPARED % words)
    return (
        ngettext(
            "%(count)d comparison of %(phone)s (%(method)s) with a tachometer counts in this doubt.",
            "%(count)d comparisons of %(phone)s (%(method)s) with a tachometer count in this doubt.",
            count,
        )
        % words
    )
