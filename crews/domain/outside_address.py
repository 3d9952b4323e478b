"""Which addresses lie outside: a gateway or webhook must not be a way into the network this service runs in."""

import ipaddress

from jobs.domain.errors import CannotDo

# RFC 6052 2.1 and RFC 8215: IPv6 addresses that carry an IPv4 address in their last 32 bits.
CARRIES_IPV4 = (ipaddress.IPv6Network("64:ff9b::/96"), ipaddress.IPv6Network("64:ff9b:1::/48"))
# RFC 4291 2.5.5.1: the old way of writing an IPv4 address in IPv6.
COMPATIBLE = ipaddress.IPv6Network("::/96")
# Special-purpose ranges that not every Python knows: IETF protocols, 6to4 relays, documentation, segment identifiers.
INSIDE_TOO = (
    ipaddress.IPv4Network("192.0.0.0/24"),
    ipaddress.IPv4Network("192.88.99.0/24"),
    ipaddress.IPv6Network("2001::/23"),
    ipaddress.IPv6Network("3fff::/20"),
    ipaddress.IPv6Network("5f00::/16"),
)

Address = ipaddress.IPv4Address | ipaddress.IPv6Address


def is_outside(address: str) -> bool:
    """Whether an address is one of a single machine on the public network.

    Private, shared, loopback, link-local, multicast, reserved and documentation ranges are not, by the special-purpose
    registries of RFC 6890, nor an IPv6 address that only wraps such an IPv4 address.

    >>> is_outside("10.0.0.1"), is_outside("::ffff:127.0.0.1"), is_outside("9.9.9.9")
    (False, False, True)
    """
    try:
        return all(_is_outside(one) for one in _unwrapped(ipaddress.ip_address(address.partition("%")[0])))
    except ValueError:
        return False


def _is_outside(one: Address) -> bool:
    special = one.is_multicast or one.is_reserved or one.is_unspecified or one.is_loopback or one.is_link_local
    # Site-local addresses (RFC 3879) are deprecated and still routed inside.
    site_local = isinstance(one, ipaddress.IPv6Address) and one.is_site_local
    return one.is_global and not special and not site_local and not any(one in network for network in INSIDE_TOO)


def _unwrapped(one: Address) -> tuple[Address, ...]:
    """The address, or the IPv4 addresses it wraps."""
    if isinstance(one, ipaddress.IPv4Address):
        return (one,)
    if one.ipv4_mapped is not None:
        return (one.ipv4_mapped,)
    if one.sixtofour is not None:
        return (one, one.sixtofour)
    if one.teredo is not None:
        return (one, *one.teredo)
    if any(one in net for net in CARRIES_IPV4) or one in COMPATIBLE:
        return (ipaddress.IPv4Address(int(one) & 0xFFFF_FFFF),)
    return (one,)


def choose_address(host: str, addresses: tuple[str, ...], *, inside: bool) -> str:
    """The address to connect to: the first, where every one of the host lies outside or ``inside`` is allowed.

    Raises
    ------
    CannotDo
        ``channels.inside_address``: one that lies inside is enough, for the next answer could be that one alone.
    """
    for address in addresses:
        if not inside and not is_outside(address):
            raise CannotDo("channels.inside_address", field="host", host=host, address=address)
    return addresses[0]
