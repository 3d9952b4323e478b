"""Critical paths against printed networks (sources in the worked examples)."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from jobs.domain.network import Activity, Arrow, CriticalPath, critical_path

EXAMPLES = tomllib.loads(
    (Path(__file__).parents[3] / "fixtures" / "worked_examples" / "networks.toml").read_text(encoding="utf-8")
)


def solved(network: dict[str, Any]) -> CriticalPath:
    rows = network["rows"]
    return critical_path(
        [Activity(key=row[0], duration=row[2]) for row in rows],
        [Arrow(before=before, after=row[0]) for row in rows for before in row[1].split()],
    )


@pytest.mark.parametrize("network", EXAMPLES["network"], ids=lambda network: network["key"])
def test_all_printed_times(network):
    found = solved(network)
    assert found.length == network["length"]
    assert found.path == tuple(network["path"])
    assert len(found.timings) == len(network["rows"])
    for key, _, _, *times, free in network["rows"]:
        timing = found.timing(key)
        got = [timing.earliest_start, timing.earliest_finish, timing.latest_start, timing.latest_finish]
        assert (key, got) == (key, times)
        assert timing.total_float == times[2] - times[0]
        if free != "-":
            assert (key, timing.free_float) == (key, free)


@pytest.mark.parametrize("network", EXAMPLES["slack_network"], ids=lambda network: network["key"])
def test_printed_length_and_slacks(network):
    found = solved(network)
    assert found.length == network["length"]
    assert {timing.key: timing.total_float for timing in found.timings} == {row[0]: row[3] for row in network["rows"]}


def test_the_construction_networks_printed_floats():
    # Printed: total float D 4, G 4, H 4, M 4, I 2, K 1; free float I 2, K 1, M 4; the others none.
    found = solved(EXAMPLES["network"][0])
    total = {timing.key: timing.total_float for timing in found.timings if timing.total_float}
    free = {timing.key: timing.free_float for timing in found.timings if timing.free_float}
    assert total == {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}
    assert free == {"I": 2, "K": 1, "M": 4}


def test_the_house_is_built_by_its_printed_path():
    house = next(network for network in EXAMPLES["slack_network"] if network["key"] == "taylor_house")
    assert solved(house).path == ("design", "foundation", "build", "finish")


def test_the_second_network_has_its_printed_path():
    second = next(network for network in EXAMPLES["slack_network"] if network["key"] == "taylor_net_2")
    assert solved(second).path == ("1-3", "3-5", "5-7", "7-8", "8-9")
