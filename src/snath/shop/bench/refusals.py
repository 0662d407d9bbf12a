"""Word what a box says of a wrong entry: what was given and what would do."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext, gettext_lazy

NOTHING_TYPED = gettext_lazy("nothing was typed: this must be filled in")
CHOOSE = gettext_lazy("nothing was chosen: choose one")
MESSAGES: dict[type[forms.Field], dict[str, Any]] = {
    forms.CharField: {
        "required": NOTHING_TYPED,
        "max_length": gettext_lazy("has %(show_value)d characters, at most %(limit_value)d fit: shorten it"),
    },
    forms.SlugField: {"invalid": gettext_lazy("must be letters, digits and hyphens only, such as tach-1")},
    forms.ChoiceField: {
        "required": CHOOSE,
        "invalid_choice": gettext_lazy("“%(value)s” is not among the choices any more: choose again"),
    },
    forms.DateField: {
        "required": gettext_lazy("nothing was typed: must be a date, such as 2026-11-25"),
        "invalid": gettext_lazy("must be a date, such as 2026-11-25"),
    },
    forms.FileField: {
        "required": gettext_lazy("no file was chosen: choose one"),
        "empty": gettext_lazy("this file is empty: choose another"),
    },
}


def speak(fields: Mapping[str, forms.Field]) -> None:
    """Give every box the words above in place of the framework's, save where it has its own."""
    for field in fields.values():
        for kind, messages in MESSAGES.items():
            if isinstance(field, kind):
                field.error_messages |= messages


class Refusing:
    """For every form: its boxes refuse in these words."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        speak(self.fields)  # type: ignore[attr-defined]


class WholeField(forms.IntegerField):
    """A whole number between two limits, both of which are said."""

    def __init__(self, *, min_value: int, max_value: int, **kwargs: Any) -> None:
        super().__init__(min_value=min_value, max_value=max_value, **kwargs)
        self.limits = {"least": min_value, "most": max_value}

    def clean(self, value: Any) -> Any:
        try:
            return super().clean(value)
        except ValidationError:
            given = str(value or "").strip()[:60]
            if not given:
                words = gettext("nothing was typed: must be a whole number from %(least)d to %(most)d")
                raise ValidationError(words % self.limits) from None
            words = gettext("“%(given)s”: must be a whole number from %(least)d to %(most)d")
            raise ValidationError(words % {"given": given, **self.limits}) from None
