"""What the pages about people ask for."""

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext_lazy

from snath.shop.bench.refusals import Refusing
from snath.shop.records.people import Role

ROLES = [
    (Role.READER.value, gettext_lazy("Read only: sees everything, changes nothing")),
    (Role.MECHANIC.value, gettext_lazy("Mechanic: works on jobs, machines and customers")),
    (Role.OWNER.value, gettext_lazy("Owner: also people, rules and the shop")),
]


class Plain(Refusing, forms.Form):
    """Faults are shown by our own pages and in our own words, not by the browser's bubbles."""

    use_required_attribute = False


class LoginForm(Plain):
    name = forms.CharField(
        label=gettext_lazy("Name"),
        max_length=60,
        widget=forms.TextInput({"autocomplete": "username", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        label=gettext_lazy("Password"),
        max_length=200,
        strip=False,
        widget=forms.PasswordInput({"autocomplete": "current-password"}),
    )


class NewPassword(Plain):
    """A password twice, checked by the framework's rules."""

    password = forms.CharField(
        label=gettext_lazy("New password"),
        max_length=200,
        strip=False,
        help_text=gettext_lazy("At least 10 characters; three or four words are good."),
        widget=forms.PasswordInput({"autocomplete": "new-password"}),
    )
    again = forms.CharField(
        label=gettext_lazy("The same again"),
        max_length=200,
        strip=False,
        widget=forms.PasswordInput({"autocomplete": "new-password"}),
    )

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password)
        return password

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("password") and cleaned.get("password") != cleaned.get("again"):
            self.add_error("again", gettext_lazy("The two passwords differ."))
        return cleaned


class OwnPassword(NewPassword):
    now = forms.CharField(
        label=gettext_lazy("Password now"),
        max_length=200,
        strip=False,
        widget=forms.PasswordInput({"autocomplete": "current-password"}),
    )
    field_order = ("now", "password", "again")


class RoleForm(Plain):
    role = forms.ChoiceField(label=gettext_lazy("Role"), choices=ROLES, widget=forms.RadioSelect)


class PersonForm(NewPassword, RoleForm):
    name = forms.CharField(label=gettext_lazy("Name"), max_length=60)
    field_order = ("name", "role", "password", "again")


class PhoneForm(RoleForm):
    name = forms.CharField(
        label=gettext_lazy("What the phone is called"),
        max_length=60,
        help_text=gettext_lazy("For instance: phone at the lift. It stands beside whatever is done with it."),
    )
    field_order = ("name", "role")
