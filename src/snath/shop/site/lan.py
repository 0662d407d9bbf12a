"""Find name and address under which phones in the shop reach this machine."""

import ipaddress
import re
import socket

from snath.quantities.errors import InputError
from snath.quantities.message import Message

NAME = re.compile(r"(?=.{1,64}\Z)[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?(\.[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)*")


def lan_address(chosen: str | None) -> str:
    """The address asked for, else the one this machine would use towards the network.

    Raises
    ------
    InputError
        If it is no address of one machine, or none can be found.
    """
    found = chosen or _own_address()
    try:
        address = ipaddress.ip_address(found)
    except ValueError:
        raise InputError("address", found, Message("records.own-address")) from None
    if address.is_unspecified or address.is_multicast:
        raise InputError("address", found, Message("records.one-address"))
    return str(address)


def _own_address() -> str:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(("192.0.2.1", 9))  # TEST-NET-1 (RFC 5737): only picks a route, sends nothing
            address: str = asking.getsockname()[0]
        except OSError:
            raise InputError("address", "none found", Message("records.address-needed")) from None
    return address


def lan_name(chosen: str | None) -> str:
    """The name asked for, else this machine's own with .local behind it.

    Raises
    ------
    InputError
        If it is no host name.
    """
    own = re.sub(r"[^a-z0-9-]", "-", socket.gethostname().split(".")[0].lower()).strip("-") or "shop"
    name = (chosen or f"{own}.local").lower()
    if not NAME.fullmatch(name) or name.replace(".", "").isdigit():
        raise InputError("name", name, Message("records.host-name"))
    return name
