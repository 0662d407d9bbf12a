"""Boxes written down directly are to the byte what templates make of them: the framework's, and ours round a box."""

import pytest
from django import forms
from django.forms.renderers import DjangoTemplates
from django.test import Client

from snath.shop.bench.widgets import OF_A_FIELD, WRITERS, QuickWidgets
from tests.shop.demo_shop import demo_shop
from tests.shop.site.addresses import address, names

TRICKY = "\"><script>&'ß 1.5"


class ByTemplates(DjangoTemplates):
    field_template_name = OF_A_FIELD


class EveryBox(forms.Form):
    use_required_attribute = False

    text = forms.CharField(initial=TRICKY, help_text="h", widget=forms.TextInput(attrs={"data-x": TRICKY}))
    empty = forms.CharField(required=False)
    number = forms.IntegerField(initial=1234567, min_value=1)
    share = forms.FloatField(initial=0.5, localize=True)
    hidden = forms.CharField(initial="x", widget=forms.HiddenInput)
    secret = forms.CharField(widget=forms.PasswordInput)
    tick = forms.BooleanField(initial=True)
    untick = forms.BooleanField(required=False)
    file = forms.FileField(widget=forms.FileInput(attrs={"accept": ".wav", "data-y": True, "off": False}))
    area = forms.CharField(initial=f"\n{TRICKY}", widget=forms.Textarea(attrs={"rows": 3}))
    no_area = forms.CharField(widget=forms.Textarea)
    day = forms.DateField()
    one = forms.ChoiceField(choices=[("", "none"), ("a", TRICKY), (TRICKY, "b"), (3, 4.5)], initial="a")
    grouped = forms.ChoiceField(choices=[("g & h", [("1", "one"), ("2", "two")]), ("3", "three")])
    several = forms.MultipleChoiceField(choices=[("a", "a"), ("b", "b")], initial=["b"])
    radio = forms.ChoiceField(choices=[("", "x"), ("a", TRICKY)], initial="a", widget=forms.RadioSelect)
    ticks = forms.MultipleChoiceField(
        choices=[("a", "a"), ("b", TRICKY)], initial=["b"], widget=forms.CheckboxSelectMultiple
    )


@pytest.mark.parametrize(
    "sent", [None, {"text": TRICKY, "one": "zz", "tick": "on", "area": "", "number": "a"}]
)
def test_every_kind_of_box_is_the_same_to_the_byte(sent):
    ours, theirs = EveryBox(sent, renderer=QuickWidgets()), EveryBox(sent, renderer=ByTemplates())
    for form in (ours, theirs):
        form.fields["number"].printed_unit = form.fields["share"].whose = TRICKY
    for name in ours.fields:
        assert str(ours[name]) == str(theirs[name]), name
        assert ours[name].as_field_group() == theirs[name].as_field_group(), name
        for mine, other in zip(ours[name].subwidgets, theirs[name].subwidgets, strict=True):
            assert mine.tag() == other.tag()


@pytest.mark.django_db
def test_every_page_is_the_same_to_the_byte(monkeypatch, settings):
    demo_shop()
    shop = Client(HTTP_HOST="localhost")
    shop.get("/measure/")
    used = set()

    def pages() -> dict[str, bytes]:
        got = {}
        for name in names():
            answer = shop.get(address(name, number=3))
            kind = answer.headers.get("Content-Type", "")
            if (
                name != "log" and answer.status_code == 200 and kind.startswith("text/html")
            ):  # it notes the asking
                got[name] = b"".join(
                    part for part in answer.content.split(b'"') if len(part) != 64
                )  # no token
        return got

    def write(self, template_name, context, request=None):
        used.add(template_name)
        return DjangoTemplates.render(self, template_name, context, request)

    ours = pages()
    monkeypatch.setattr(QuickWidgets, "render", write)
    assert ours == pages()
    assert len(ours) > 20
    assert len(used & set(WRITERS)) > 5
