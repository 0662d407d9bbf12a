"""Boxes of a form as HTML, written down directly: the framework runs several templates for each of them.

What comes out is to the byte what the framework's own templates, and `bench/field.html` for what stands round a box,
give; a kind of box not known here is left to them.
"""

from collections.abc import Callable
from html import escape
from typing import Any

from django.forms import BoundField
from django.forms.renderers import DjangoTemplates
from django.utils.safestring import SafeString, mark_safe

OF_WIDGETS, OF_A_FIELD = "django/forms/widgets/", "bench/field.html"
INPUTS = ("text", "number", "hidden", "email", "password", "checkbox", "file", "date", "search", "tel", "url")
OPTIONS = ("checkbox_option", "radio_option")
HALF_ROW, HALF_PAGE = 18, 30  # letters


class QuickWidgets(DjangoTemplates):
    """Renders boxes and what stands round them; everything else of a form by the framework's templates."""

    field_template_name = OF_A_FIELD

    def render(self, template_name: str, context: dict[str, Any], request: Any = None) -> SafeString:
        """The box as HTML."""
        if template_name == OF_A_FIELD:
            return mark_safe(_with_its_box(context["field"]))
        write = WRITERS.get(template_name)
        if write is None:
            return mark_safe(super().render(template_name, context, request))
        return mark_safe(write(context["widget"]))


def _text(value: object) -> str:
    """Escaped, save what is markup already; the framework's own way asks the same of each text several times over."""
    text = str(value)
    return text if isinstance(text, SafeString) else escape(text)


def _attributes(widget: dict[str, Any]) -> str:
    return "".join(
        f" {_text(name)}" if value is True else f' {_text(name)}="{_text(value)}"'
        for name, value in widget["attrs"].items()
        if value is not False
    )


def _input(widget: dict[str, Any]) -> str:
    value = "" if widget["value"] is None else f' value="{_text(widget["value"])}"'
    return (
        f'<input type="{_text(widget["type"])}" name="{_text(widget["name"])}"{value}{_attributes(widget)}>'
    )


def _choice(widget: dict[str, Any]) -> str:
    if not widget["wrap_label"]:
        return _input(widget)
    named = widget["attrs"].get("id")
    belongs = f' for="{_text(named)}"' if named else ""
    return f"<label{belongs}>{_input(widget)}\n {_text(widget['label'])}</label>"


def _select(widget: dict[str, Any]) -> str:
    inside = ""
    for group, options, _ in widget["optgroups"]:
        rows = "".join(f"\n  {_option(one)}" for one in options)
        inside += f'\n  <optgroup label="{_text(group)}">{rows}\n  </optgroup>' if group else rows
    return f'<select name="{_text(widget["name"])}"{_attributes(widget)}>{inside}\n</select>'


def _option(widget: dict[str, Any]) -> str:
    label = _text(widget["label"])
    return f'<option value="{_text(widget["value"])}"{_attributes(widget)}>{label}</option>\n'


def _textarea(widget: dict[str, Any]) -> str:
    inside = _text(widget["value"]) if widget["value"] else ""
    return f'<textarea name="{_text(widget["name"])}"{_attributes(widget)}>\n{inside}</textarea>'


def long_class(field: BoundField) -> str:
    """Of a list with something to choose that half a narrow row would cut, and half a page."""
    choices = getattr(field.field, "choices", ()) if field.widget_type == "select" else ()
    longest = max((len(str(words)) for _, words in choices), default=0)
    return " long longer" if longest > HALF_PAGE else " long" if longest > HALF_ROW else ""


def _with_its_box(field: BoundField) -> str:
    label, errors, extra = _text(field.label), field.errors, field.field
    box = f'<label for="{field.id_for_label}">{label}</label>\n'
    if field.use_fieldset:
        options = "".join(
            f'<label class="choice">{one.tag()} <span>{_text(one.choice_label)}</span></label>'
            for one in field.subwidgets
        )
        named = f"{field.auto_id}_label"
        box = f'<p class="label" id="{named}">{label}</p>\n'
        box += f'<div class="choices" role="radiogroup" aria-labelledby="{named}">{options}</div>\n\n'
    elif field.widget_type == "checkbox":
        box = f'<label class="choice">{field} <span>{label}</span></label>\n\n'
    elif unit := getattr(extra, "printed_unit", ""):
        box += f'<div class="united">{field}<span class="unit">{_text(unit)}</span></div>\n'
    else:
        box += f"{field}\n"
    hint = fault = ""
    if field.help_text:
        hint = f'<p class="hint" id="{field.auto_id}_helptext">{_text(field.help_text)}</p>'
    if errors:
        whose = getattr(extra, "whose", "")
        whose = f"{_text(whose)}: " if whose else ""
        said = "".join(f'<p class="fault">{whose}{_text(one)}</p>' for one in errors)
        fault = f'<div id="{field.auto_id}_error">{said}</div>'
    kind = f"field{' wrong' if errors else ''}{long_class(field)}"
    return f'<div class="{kind}">\n{box}{hint}\n{fault}\n</div>'


WRITERS: dict[str, Callable[[dict[str, Any]], str]] = {
    **{f"{OF_WIDGETS}{kind}.html": _input for kind in INPUTS},
    **{f"{OF_WIDGETS}{kind}.html": _choice for kind in OPTIONS},
    f"{OF_WIDGETS}select.html": _select,
    f"{OF_WIDGETS}textarea.html": _textarea,
}
