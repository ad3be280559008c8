"""This machine as the house sees it: its name and its addresses, found without asking anybody on the network."""

import ipaddress
import re
import socket
import struct
import sys
from array import array

Address = ipaddress.IPv4Address | ipaddress.IPv6Address

# What a local authority may speak for: the private ranges of RFC 1918, 4193 and 6598, and the machine to itself.
# IPv6 addresses of the fe80 kind are left out, since no browser takes one with its zone.
PRIVATE = [ipaddress.ip_network(text) for text in (
    "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "100.64.0.0/10", "169.254.0.0/16", "fc00::/7",
)]  # fmt: skip
_LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")
_SIOCGIFCONF = 0x8912
_ROOM = 8192  # bytes for its answer: some 200 addresses
_UNUSED = {socket.AF_INET: "192.0.2.1", socket.AF_INET6: "2001:db8::1"}  # kept free for documentation


def name() -> str | None:
    """The machine's own name, one label in small letters; None when it has none that can stand in an address."""
    label = socket.gethostname().split(".")[0].lower()
    return label if _LABEL.fullmatch(label) and label != "localhost" else None


def is_private(address: Address) -> bool:
    return any(address in network for network in PRIVATE)


def addresses() -> list[Address]:
    """Addresses in the house, short ones first, the one that the system would send from before the others.

    Public ones are left out: they are not of the house.
    """
    found = [*_sending_from(), *_by_name(), *_by_interface()]
    parsed = [ipaddress.ip_address(text.partition("%")[0]) for text in found]
    private = dict.fromkeys(address for address in parsed if is_private(address))
    return sorted(private, key=lambda address: address.version)


def _sending_from() -> list[str]:
    """The address that the system would choose; nothing is sent to find it."""
    found = []
    for family, unused in _UNUSED.items():
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((unused, 9))
                found.append(probe.getsockname()[0])
        except OSError:
            continue  # no way out by this family
    return found


def _by_name() -> list[str]:
    try:
        return [found[4][0] for found in socket.getaddrinfo(socket.gethostname(), None, proto=socket.IPPROTO_TCP)]
    except OSError:
        return []


def _by_interface() -> list[str]:
    """Linux tells every IPv4 address of every interface; elsewhere the name above gives all of them. netdevice(7)."""
    if sys.platform != "linux":
        return []
    import fcntl

    told = array("B", bytes(_ROOM))
    asked = struct.pack("iP", _ROOM, told.buffer_info()[0])
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            length = struct.unpack("iP", fcntl.ioctl(probe, _SIOCGIFCONF, asked))[0]
        except OSError:
            return []
    row = 40 if struct.calcsize("P") == 8 else 32  # bytes of struct ifreq: name in 16, family, port, address at 20
    return [socket.inet_ntoa(told[at + 20 : at + 24].tobytes()) for at in range(0, length, row)]


def answers_to(host: str) -> bool:
    """Whether this network already leads that name to this machine, as a .local name does where one announces it."""
    try:
        found = {each[4][0].partition("%")[0] for each in socket.getaddrinfo(host, None, proto=socket.IPPROTO_TCP)}
    except (OSError, UnicodeError):
        return False
    return bool(found & {str(address) for address in addresses()})
