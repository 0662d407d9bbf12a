"""Where does a request come from that a proxy hands on, and which proxy is believed about it?

A proxy says in headers whom it speaks for, and anybody can write such headers. They are believed from listed
proxies only, two of them only, and from the last entry backwards: what stands before the first address that is no
listed proxy's was written by a stranger. Any other forwarded request is answered 403.
"""

from collections.abc import Callable
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address, ip_network
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase

from snath.quantities.errors import InputError
from snath.quantities.message import Message

Network = IPv4Network | IPv6Network
FOR, PROTO = "HTTP_X_FORWARDED_FOR", "HTTP_X_FORWARDED_PROTO"
FORWARDING = (  # RFC 7239, RFC 9110 section 7.6.3; the others are usual without a standard
    *("HTTP_FORWARDED", "HTTP_VIA", "HTTP_X_REAL_IP", "HTTP_X_CLIENT_IP", "HTTP_X_CLUSTER_CLIENT_IP"),
    *("HTTP_TRUE_CLIENT_IP", "HTTP_CLIENT_IP", "HTTP_X_ORIGINAL_FORWARDED_FOR"),
)
FAMILY = "HTTP_X_FORWARDED_"
REFUSED = (
    "This came through a proxy that is not believed here. Start the program with --behind-proxy and the proxy's "
    "address; the proxy must send X-Forwarded-For and X-Forwarded-Proto."
)


def proxies_of(text: str) -> tuple[Network, ...]:
    """The proxies a list of addresses and networks names.

    Raises
    ------
    InputError
        Naming the entry that is none.
    """
    try:
        return tuple(ip_network(entry.strip(), strict=False) for entry in text.split(",") if entry.strip())
    except ValueError as fault:
        allowed = Message("records.networks", why=str(fault))
        raise InputError("behind-proxy", text, allowed) from None


def was_forwarded(environ: dict[str, Any]) -> bool:
    """Whether a request came through a proxy: then the address it came from is not that of whoever asks."""
    return any(name in FORWARDING or name.startswith(FAMILY) for name in environ)


def as_first_sent(environ: dict[str, Any], proxies: tuple[Network, ...]) -> dict[str, Any]:
    """The request as it was before listed proxies handed it on; as it is where none did, or did not say enough.

    Parameters
    ----------
    environ : dict
        The request as PEP 3333 describes it.
    proxies : tuple of networks
        Those that are believed.
    """
    client = _client(environ.get(FOR, ""), by=environ["REMOTE_ADDR"], proxies=proxies)
    scheme = environ.get(PROTO, "").rpartition(",")[2].strip().lower()
    if client is None or scheme not in ("http", "https"):
        return environ
    told = {name: value for name, value in environ.items() if not was_forwarded({name: value})}
    port = "443" if scheme == "https" else "80"
    return told | {"REMOTE_ADDR": client, "wsgi.url_scheme": scheme, "SERVER_PORT": port}


def _client(handed_on: str, *, by: str, proxies: tuple[Network, ...]) -> str | None:
    """Whoever spoke to the first of the listed proxies; None where none handed it on, or not in words one can read."""
    try:
        way = [_address(entry) for entry in (*handed_on.split(","), by)]
    except ValueError:
        return None
    first = len(way) - 1
    while first and any(way[first] in network for network in proxies):
        first -= 1
    return None if first == len(way) - 1 else str(way[first])


def _address(entry: str) -> IPv4Address | IPv6Address:
    """An address, without the port that may stand behind it."""
    entry = entry.strip()
    if entry.startswith("["):
        entry = entry[1:].partition("]")[0]
    elif entry.count(":") == 1:
        entry = entry.partition(":")[0]
    address = ip_address(entry)
    return getattr(address, "ipv4_mapped", None) or address


class ForwardedRequests:
    """Refuse what is still marked as forwarded here: no listed proxy handed it on."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if was_forwarded(request.META):
            return HttpResponse(REFUSED, status=403, content_type="text/plain")
        return self.get_response(request)
