"""Critical paths of generated networks, against a general graph library and by what must always hold."""

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo
from jobs.domain.network import Activity, Arrow, build_order, critical_path, tasks_after

Network = tuple[list[Activity], list[Arrow]]


@st.composite
def networks(draw: st.DrawFn) -> Network:
    size = draw(st.integers(1, 12))
    activities = [Activity(key=f"t{at}", duration=draw(st.integers(0, 9))) for at in range(size)]
    pairs = [(before, after) for after in range(size) for before in range(after)]
    chosen = draw(st.lists(st.sampled_from(pairs), unique=True, max_size=24)) if pairs else []
    arrows = [Arrow(before=f"t{b}", after=f"t{a}", lag=draw(st.integers(0, 5))) for b, a in chosen]
    return draw(st.permutations(activities)), arrows


@given(networks())
def test_the_length_is_the_longest_path_of_a_graph_library(network):
    activities, arrows = network
    duration = {activity.key: activity.duration for activity in activities}
    graph = networkx.DiGraph()
    for key in duration:
        graph.add_edge("begin", key, weight=0)
        graph.add_edge(key, "end", weight=duration[key])
    for arrow in arrows:
        graph.add_edge(arrow.before, arrow.after, weight=duration[arrow.before] + arrow.lag)
    found = critical_path(activities, arrows)
    assert found.length == networkx.dag_longest_path_length(graph)
    for key in duration:
        upto = graph.subgraph(networkx.ancestors(graph, key) | {key})
        assert found.timing(key).earliest_start == networkx.dag_longest_path_length(upto)


@given(networks())
def test_no_float_is_negative_and_the_path_has_none(network):
    activities, arrows = network
    found = critical_path(activities, arrows)
    for timing in found.timings:
        assert 0 <= timing.free_float <= timing.total_float
        assert timing.latest_finish <= found.length
    assert all(found.timing(key).total_float == 0 for key in found.path)
    assert found.timing(found.path[0]).earliest_start == 0
    assert found.timing(found.path[-1]).earliest_finish == found.length
    lag = {(arrow.before, arrow.after): arrow.lag for arrow in arrows}
    whole = sum(found.timing(key).earliest_finish - found.timing(key).earliest_start for key in found.path)
    assert whole + sum(lag[pair] for pair in zip(found.path, found.path[1:], strict=False)) == found.length


@given(networks())
def test_the_order_respects_every_arrow_and_is_the_same_twice(network):
    activities, arrows = network
    keys = [activity.key for activity in activities]
    pairs = [(arrow.before, arrow.after) for arrow in arrows]
    order = build_order(keys, pairs)
    assert sorted(order) == sorted(keys)
    assert all(order.index(before) < order.index(after) for before, after in pairs)
    assert order == build_order(keys, reversed(pairs))


@given(networks())
def test_tasks_after_are_the_descendants_of_a_graph_library(network):
    activities, arrows = network
    pairs = [(arrow.before, arrow.after) for arrow in arrows]
    graph = networkx.DiGraph(pairs)
    graph.add_nodes_from(activity.key for activity in activities)
    for activity in activities:
        assert tasks_after(activity.key, pairs) == networkx.descendants(graph, activity.key)


def test_a_lag_moves_what_comes_after():
    found = critical_path(
        [Activity(key="pour", duration=6), Activity(key="fill", duration=5)],
        [Arrow(before="pour", after="fill", lag=168)],
    )
    assert found.timing("fill").earliest_start == 174
    assert found.length == 179


def test_an_empty_network_has_no_length():
    assert critical_path([], []).length == 0


def test_a_cycle_is_named_from_its_first_activity():
    keys = ["a", "b", "c", "d"]
    with pytest.raises(CannotDo) as caught:
        build_order(keys, [("a", "b"), ("c", "b"), ("b", "c"), ("c", "d")], file="own.toml")
    assert caught.value.facts["cycle"] == "b to c to b"
    assert "own.toml" in caught.value.says


def test_an_activity_behind_a_cycle_is_not_blamed():
    with pytest.raises(CannotDo) as caught:
        build_order(["behind", "x", "y", "z"], [("x", "y"), ("y", "z"), ("z", "x"), ("z", "behind")])
    assert caught.value.facts["cycle"] == "x to y to z to x"


def test_an_activity_after_itself_is_a_cycle():
    with pytest.raises(CannotDo) as caught:
        build_order(["x"], [("x", "x")])
    assert caught.value.facts["cycle"] == "x to x"


@pytest.mark.parametrize(
    ("activities", "arrows", "code"),
    [
        ([Activity(key="a", duration=-1)], [], "network.negative"),
        ([Activity(key="a", duration=float("nan"))], [], "network.negative"),
        ([Activity(key="a", duration=1)] * 2, [], "network.duplicate"),
        ([Activity(key="a", duration=1)], [Arrow(before="a", after="b")], "network.unknown_activity"),
        (
            [Activity(key="a", duration=1), Activity(key="b", duration=1)],
            [Arrow(before="a", after="b", lag=-2)],
            "network.negative",
        ),
    ],
)
def test_bad_networks_are_refused(activities, arrows, code):
    with pytest.raises(CannotDo) as caught:
        critical_path(activities, arrows)
    assert caught.value.code == code
    assert caught.value.remedy
