"""Addresses of login, people, pairing, and the doors to what is kept."""

from django.urls import path, register_converter
from django.urls.converters import StringConverter

from snath.shop.site import kept_views
from snath.shop.site.people import key_views, login_views, pairing_views, people_views


class TouchConverter(StringConverter):
    """The two kinds of thing that can turn out wrong."""

    regex = "rule|instrument"


register_converter(TouchConverter, "touch")

urlpatterns = [
    path("login/", login_views.login, name="login"),
    path("logout/", login_views.logout, name="logout"),
    path("people/", people_views.people, name="people"),
    path("people/add/", people_views.add, name="person-add"),
    path("people/phone/", pairing_views.phone, name="phone"),
    path("people/log/", people_views.log, name="log"),
    path("people/me/", login_views.own_password, name="own-password"),
    path("people/keys/", key_views.keys, name="keys"),
    path("people/keys/<uuid:key>/", key_views.withdraw, name="key-withdraw"),
    path("people/<uuid:key>/", people_views.person, name="person"),
    path("people/<uuid:key>/password/", people_views.password, name="person-password"),
    path("pair/", pairing_views.pair, name="pair"),
    path("trust/", pairing_views.trust, name="trust"),
    path("trust/certificate/", pairing_views.trust_certificate, name="trust-certificate"),
    path("kept/<uuid:key>/", kept_views.attachment, name="attachment"),
    path("kept/jobs.csv", kept_views.jobs_table, name="jobs-table"),
    path("kept/everything/", kept_views.everything, name="everything"),
    path("touched/<touch:kind>/<path:key>/", kept_views.touched, name="touched"),
    path("customers/<uuid:key>/erase/", kept_views.erase, name="customer-erase"),
]
