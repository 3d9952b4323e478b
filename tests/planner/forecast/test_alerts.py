"""Which of many warning messages hold at a place."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.forecast.domain.outside.alerts import Alert, in_force
from planner.forecast.domain.place import Place
from planner.forecast.sources.nws_alerts import read_alerts
from tests.planner.forecast.recordings import recorded
from tests.planner.forecast.weather import SITE
from tests.planner.forecast.written import HOUR, alert_feature, alerts_reply

NOW = datetime(2026, 7, 15, 20, tzinfo=UTC)
ZONES = ("NJC013", "NJZ106")
NATION = ("alerts", "us_2026-07-15_thunder_flood.recon")
WATCH = "/O.{action}.KPHI.FA.A.0004.000000T0000Z-260716T0200Z/"


def square(west: float, south: float, east: float, north: float) -> dict[str, Any]:
    ring = [[west, south], [east, south], [east, north], [west, north], [west, south]]
    return {"type": "Polygon", "coordinates": [ring]}


HERE = square(-75, 40, -74, 41)
ELSEWHERE = square(-80, 40, -79, 41)


def held(*features: dict[str, Any], now: datetime = NOW, place: Place = SITE) -> list[str]:
    read = read_alerts(alerts_reply(*features))
    assert read.unread == ()
    found = in_force(read.alerts, place=place, zones=ZONES, now=now)
    return [alert.message_id.rpartition(":")[2] for alert in found]


def sent(minutes_ago: float) -> datetime:
    return NOW - timedelta(minutes=minutes_ago)


def test_every_message_of_a_recorded_afternoon_reads() -> None:
    """Source: recorded reply for the whole country, and the counts noted when it was recorded."""
    payload = recorded(*NATION)
    read = read_alerts(payload)
    assert read.unread == ()
    assert len(read.alerts) == 44
    assert sum(not alert.outline for alert in read.alerts) == 16
    assert sum(bool(alert.references) for alert in read.alerts) == 17
    assert sum(alert.starts_at > alert.sent_at for alert in read.alerts) == 7
    assert sum(alert.starts_at > NOW for alert in read.alerts) == 6
    for alert, feature in zip(read.alerts, payload["features"], strict=True):
        properties = feature["properties"]
        until = datetime.fromisoformat(properties["ends"] or properties["expires"])
        assert alert.until_at == until
        assert alert.outline or alert.zones, "each holds somewhere"
    events = {alert.event_key for alert in read.alerts if alert.event == "Flash Flood Warning"}
    assert "KPUB.FF.W.0010.2026" in events


def test_each_outlined_warning_holds_inside_its_outline_and_nowhere_far() -> None:
    """Source: the same reply; a raster of points against the area of the outline by the shoelace formula."""
    for alert in read_alerts(recorded(*NATION)).alerts:
        for polygon in alert.outline:
            west, east = min(x for x, _ in polygon[0]), max(x for x, _ in polygon[0])
            south, north = min(y for _, y in polygon[0]), max(y for _, y in polygon[0])
            inside = sum(
                alert.covers(
                    Place(
                        latitude=south + (north - south) * (j + 0.5) / 40,
                        longitude=west + (east - west) * (i + 0.5) / 40,
                    ),
                    (),
                )
                for i in range(40)
                for j in range(40)
            )
            shoelace = abs(
                sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(polygon[0], polygon[0][1:], strict=False)) / 2
            )
            assert inside / 40**2 == pytest.approx(shoelace / ((east - west) * (north - south)), abs=0.02)
            assert not alert.covers(Place(latitude=-40.0, longitude=100.0), ())


def test_one_event_in_two_parts_counts_by_place() -> None:
    """Source: recorded; one flood watch, same number, two ends for two groups of zones, sent in the same minute."""
    read = read_alerts(recorded(*NATION)).alerts
    parts = [alert for alert in read if alert.event_key == "KTWC.FA.A.0001.2026"]
    assert len(parts) == 2
    tucson = Place(latitude=32.2, longitude=-110.9)
    for part in parts:
        own = set(part.zones) - {zone for other in parts if other is not part for zone in other.zones}
        found = in_force(read, place=tucson, zones=own, now=NOW)
        assert [alert.until_at for alert in found if alert.event_key == part.event_key] == [part.until_at]


def test_the_reply_of_2019_and_its_update_read() -> None:
    second = read_alerts(recorded("alerts", "pynws_alerts_active_zone_second"))
    assert second.unread == ()
    assert {alert.event_key for alert in second.alerts} == {"KPQR.FA.A.0004.2019"}
    assert all(alert.references for alert in second.alerts)
    now = datetime(2019, 12, 22, 17, 59, tzinfo=UTC)
    portland = Place(latitude=45.5, longitude=-122.7)
    assert len(in_force(second.alerts, place=portland, zones=("ORZ006",), now=now)) == 1
    assert in_force(second.alerts, place=portland, zones=("ORZ006",), now=now + 2 * timedelta(minutes=1)) == ()


def test_the_event_ends_when_it_ends_and_not_when_its_message_does() -> None:
    long = alert_feature("long", sent_at=sent(120), hours=6)
    short = alert_feature("short", sent_at=sent(90), hours=1, ends=False)
    assert held(long, short) == ["long"]
    assert held(long, now=NOW + 4 * HOUR) == []


def test_one_that_begins_tomorrow_is_told_today() -> None:
    feature = alert_feature("soon", sent_at=sent(10), hours=40, begins_in_hours=20)
    assert held(feature) == ["soon"]
    alert = read_alerts(alerts_reply(feature)).alerts[0]
    assert alert.starts_at > NOW


def test_an_update_takes_the_place_of_what_it_refers_to() -> None:
    first = alert_feature("first", sent_at=sent(120))
    second = alert_feature("second", sent_at=sent(60), kind="Update", references=["first"])
    third = alert_feature("third", sent_at=sent(10), kind="Update", references=["first", "second"])
    assert held(first, second, third) == ["third"]
    assert held(third, first, second) == ["third"]
    assert held(first, third) == ["third"]


def test_an_update_that_arrives_after_the_end_still_holds() -> None:
    first = alert_feature("first", sent_at=sent(120), hours=1)
    second = alert_feature("second", sent_at=sent(30), hours=3, kind="Update", references=["first"])
    assert held(first, second) == ["second"]


def test_messages_of_one_event_without_references_are_one() -> None:
    first = alert_feature("first", sent_at=sent(120), vtec=WATCH.format(action="NEW"))
    second = alert_feature("second", sent_at=sent(60), kind="Update", vtec=WATCH.format(action="CON"))
    assert held(first, second) == ["second"]


@pytest.mark.parametrize("action", ["CAN", "EXP", "UPG"])
def test_an_ending_action_ends_it(action: str) -> None:
    first = alert_feature("first", sent_at=sent(120), vtec=WATCH.format(action="NEW"))
    last = alert_feature("last", sent_at=sent(60), kind="Update", vtec=WATCH.format(action=action))
    assert held(first, last) == []
    assert held(first) == ["first"]


def test_a_cancel_ends_what_it_refers_to_and_nothing_else() -> None:
    first = alert_feature("first", sent_at=sent(120))
    other = alert_feature("other", sent_at=sent(110))
    cancel = alert_feature("cancel", sent_at=sent(60), kind="Cancel", references=["first"])
    assert held(first, other, cancel) == ["other"]


def test_a_cancel_for_another_part_of_the_ground_leaves_ours() -> None:
    first = alert_feature("first", sent_at=sent(120), vtec=WATCH.format(action="NEW"), zones=("NJZ106", "NJZ010"))
    kept = alert_feature("kept", sent_at=sent(60), kind="Update", vtec=WATCH.format(action="CON"), references=["first"])
    gone = alert_feature(
        "gone",
        sent_at=sent(59),
        kind="Cancel",
        vtec=WATCH.format(action="CAN"),
        references=["first"],
        zones=("NJZ010",),
    )
    assert held(first, kept, gone) == ["kept"]


@pytest.mark.parametrize("status", ["Test", "Exercise", "System", "Draft"])
def test_exercises_are_no_warnings_and_cancel_nothing(status: str) -> None:
    real = alert_feature("real", sent_at=sent(120))
    drill = alert_feature("drill", sent_at=sent(60), status=status, kind="Cancel", references=["real"])
    assert held(real, drill) == ["real"]
    assert held(alert_feature("drill", sent_at=sent(60), status=status)) == []


def test_a_test_product_is_no_warning() -> None:
    assert held(alert_feature("drill", sent_at=sent(60), vtec="/T.NEW.KPHI.FA.A.0004.000000T0000Z-260716T0200Z/")) == []


def test_an_outline_counts_before_zones_and_zones_where_there_is_none() -> None:
    inside = alert_feature("inside", sent_at=sent(50), geometry=HERE, zones=())
    outside = alert_feature("outside", sent_at=sent(50), geometry=ELSEWHERE, zones=ZONES)
    county = alert_feature("county", sent_at=sent(50), zones=("NJC013",))
    other = alert_feature("other", sent_at=sent(50), zones=("NYZ072",))
    linked = alert_feature(
        "linked", sent_at=sent(50), zones=(), affectedZones=["https://api.weather.gov/zones/forecast/NJZ106"]
    )
    assert sorted(held(inside, outside, county, other, linked)) == ["county", "inside", "linked"]


def test_holes_and_collections_of_outlines() -> None:
    holed = square(-75, 40, -74, 41)
    holed["coordinates"].append(square(-74.3, 40.6, -74.1, 40.8)["coordinates"][0])
    assert held(alert_feature("holed", sent_at=sent(50), geometry=holed)) == []
    many = {"type": "MultiPolygon", "coordinates": [ELSEWHERE["coordinates"], HERE["coordinates"]]}
    collection = {"type": "GeometryCollection", "geometries": [ELSEWHERE, many]}
    assert held(alert_feature("many", sent_at=sent(50), geometry=collection)) == ["many"]


def test_the_worst_comes_first() -> None:
    severities = ("Minor", "Extreme", "Unknown", "Severe", "Moderate")
    features = [alert_feature(name, sent_at=sent(50), severity=name) for name in severities]
    assert held(*features) == ["Extreme", "Severe", "Moderate", "Minor", "Unknown"]


@given(st.permutations(range(6)), st.lists(st.integers(0, 5), max_size=4))
def test_neither_order_nor_repetition_matters(order: list[int], again: list[int]) -> None:
    features = [
        alert_feature("a", sent_at=sent(120)),
        alert_feature("b", sent_at=sent(60), kind="Update", references=["a"]),
        alert_feature("c", sent_at=sent(50), kind="Cancel", references=["a", "b"]),
        alert_feature("d", sent_at=sent(40), vtec=WATCH.format(action="NEW")),
        alert_feature("e", sent_at=sent(30), vtec=WATCH.format(action="EXT"), hours=9),
        alert_feature("f", sent_at=sent(20), geometry=ELSEWHERE),
    ]
    assert held(*[features[at] for at in (*order, *again)]) == ["e"]


@pytest.mark.parametrize(
    ("name", "value", "field"),
    [
        ("id", None, "id"),
        ("sent", "now", "sent"),
        ("expires", None, "expires"),
        ("status", 3, "status"),
        ("messageType", "", "messageType"),
        ("event", None, "event"),
        ("references", {}, "references"),
    ],
)
def test_one_that_cannot_be_read_hides_no_other(name: str, value: Any, field: str) -> None:
    bad = alert_feature("bad", sent_at=sent(50))
    bad["properties"][name] = value if name != "references" else "all"
    read = read_alerts(alerts_reply(bad, alert_feature("good", sent_at=sent(50))))
    assert [alert.message_id for alert in read.alerts] == ["urn:oid:good"]
    assert len(read.unread) == 1
    assert field in read.unread[0]


def test_a_message_knows_what_it_is() -> None:
    alert: Alert = read_alerts(alerts_reply(alert_feature("a", sent_at=sent(50)))).alerts[0]
    assert alert.is_actual
    assert not alert.ends_event
    assert replace(alert, message_type="Cancel").ends_event
