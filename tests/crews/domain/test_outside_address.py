"""Addresses inside a network are told from public ones.

Ranges: IANA IPv4 and IPv6 Special-Purpose Address Registries (RFC 6890), RFC 5771 (multicast), RFC 6052, RFC 3056,
RFC 4380, RFC 3879, RFC 9637, RFC 9602; from memory of those documents, one address of each range.
"""

import pytest

from crews.domain.outside_address import choose_address, is_outside
from jobs.domain.errors import CannotDo

INSIDE = (
    "0.0.0.0",
    "0.1.2.3",
    "10.0.0.1",
    "100.64.0.1",
    "127.0.0.1",
    "127.255.255.254",
    "169.254.169.254",
    "172.16.0.1",
    "172.31.255.255",
    "192.0.0.8",
    "192.0.2.1",
    "192.88.99.1",
    "3fff::1",
    "5f00::1",
    "192.168.1.1",
    "198.18.0.1",
    "198.51.100.7",
    "203.0.113.7",
    "224.0.0.1",
    "239.255.255.250",
    "240.0.0.1",
    "255.255.255.255",
    "::",
    "::1",
    "::127.0.0.1",
    "::ffff:10.0.0.1",
    "::ffff:7f00:1",
    "64:ff9b::a00:1",
    "64:ff9b::169.254.169.254",
    "64:ff9b:1::1",
    "100::1",
    "2001::1",
    "2001:db8::1",
    "2002:7f00:1::",
    "2002:a00:1::1",
    "fc00::1",
    "fd12:3456:789a::1",
    "fe80::1",
    "fe80::1%eth0",
    "fec0::1",
    "ff02::1",
    "not an address",
    "127.1",
    "",
)
OUTSIDE = (
    "9.9.9.9",
    "11.0.0.1",
    "172.32.0.1",
    "192.169.0.1",
    "100.128.0.1",
    "2620:fe::fe",
    "::ffff:9.9.9.9",
    "64:ff9b::909:909",
)


@pytest.mark.parametrize("address", INSIDE)
def test_an_address_inside_is_refused(address: str) -> None:
    assert not is_outside(address)


@pytest.mark.parametrize("address", OUTSIDE)
def test_a_public_address_is_let_through(address: str) -> None:
    assert is_outside(address)


def test_one_address_inside_among_several_is_enough_to_refuse() -> None:
    with pytest.raises(CannotDo) as refused:
        choose_address("gate.example.org", ("9.9.9.9", "10.0.0.1"), inside=False)
    assert refused.value.code == "channels.inside_address"
    assert "10.0.0.1" in refused.value.says
    assert choose_address("gate.example.org", ("10.0.0.1",), inside=True) == "10.0.0.1"
