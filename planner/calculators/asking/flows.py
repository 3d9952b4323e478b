"""How fast water comes: measured, by a bucket and a watch, or from the hose."""

from jobs.domain.errors import CannotDo
from jobs.domain.units import gpm_from_m3_h
from jobs.science.water.filling import bucket_flow_m3_h, hose_flow_m3_h
from jobs.science.water.inflow import USUAL_M3_H
from planner.calculators.asking.inputs import Ask, Input, Values, When
from planner.calculators.asking.units import FLOW, LENGTH, SECONDS, TAP_PRESSURE, THICKNESS, WATER

FOR_ALIKE = When(choice="water", values=("alike",))
GROUP_FLOW = "How fast the water comes (one of three ways)"
WAYS = (
    ("measured flow", ("flow",)),
    ("bucket", ("bucket", "seconds")),
    ("hose", ("hose_diameter", "hose_length", "tap_pressure")),
)

FLOW_INPUTS: tuple[Input, ...] = (
    Ask(
        name="flow",
        label="Measured flow of one hose",
        kind=FLOW,
        low=0.02,
        high=200.0,
        source="usual_flows",
        example="12 gpm",
        optional=True,
        help=f"A garden hose gives about 9 to 17 gpm, a tanker {gpm_from_m3_h(USUAL_M3_H['tanker']):.0f}, a hydrant"
        f" {gpm_from_m3_h(USUAL_M3_H['hydrant']):.0f}.",
        group=GROUP_FLOW,
        when=FOR_ALIKE,
    ),
    Ask(
        name="bucket",
        label="Bucket",
        kind=WATER,
        low=0.002,
        high=1.0,
        source="usual_flows",
        optional=True,
        formula_names=("bucket_m3",),
        group=GROUP_FLOW,
        when=FOR_ALIKE,
    ),
    Ask(
        name="seconds",
        label="Seconds to fill the bucket",
        kind=SECONDS,
        low=1.0,
        high=3600.0,
        source="usual_flows",
        optional=True,
        group=GROUP_FLOW,
        when=FOR_ALIKE,
    ),
    Ask(
        name="hose_diameter",
        label="Inside diameter of the hose",
        kind=THICKNESS,
        low=0.009,
        high=0.16,
        source="hazen_williams",
        optional=True,
        formula_names=("diameter_m",),
        group=GROUP_FLOW,
        when=FOR_ALIKE,
    ),
    Ask(
        name="hose_length",
        label="Length of the hose",
        kind=LENGTH,
        low=1.0,
        high=500.0,
        source="hazen_williams",
        optional=True,
        formula_names=("length_m",),
        group=GROUP_FLOW,
        when=FOR_ALIKE,
    ),
    Ask(
        name="tap_pressure",
        label="Pressure at the tap while it runs",
        kind=TAP_PRESSURE,
        low=30.0,
        high=1000.0,
        source="hazen_williams",
        optional=True,
        formula_names=("pressure_kpa",),
        group=GROUP_FLOW,
        when=FOR_ALIKE,
    ),
)


def one_hose_m3_h(values: Values) -> float:
    """Flow of one hose [m3/h], in the one way it was given.

    Raises
    ------
    CannotDo
        ``calculator.no_flow``, ``calculator.flow_twice``, ``calculator.flow_in_part``.
    """
    given = [(way, names) for way, names in WAYS if any(values.maybe(name) is not None for name in names)]
    if not given:
        raise CannotDo("calculator.no_flow", field="flow")
    if len(given) > 1:
        raise CannotDo("calculator.flow_twice", field=given[1][1][0], ways=", ".join(way for way, _ in given))
    way, names = given[0]
    missing = [name for name in names if values.maybe(name) is None]
    if missing:
        labels = {one.name: one.label for one in FLOW_INPUTS}
        raise CannotDo(
            "calculator.flow_in_part", field=missing[0], way=way, missing=", ".join(labels[name] for name in missing)
        )
    if way == "bucket":
        return bucket_flow_m3_h(values.si("bucket"), values.si("seconds"))
    if way == "hose":
        return hose_flow_m3_h(values.si("hose_diameter"), values.si("hose_length"), values.si("tap_pressure"))
    return values.si("flow")
