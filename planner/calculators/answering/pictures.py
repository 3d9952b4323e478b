"""What a picture beside an answer is drawn from, in the units that stand on it."""

from dataclasses import dataclass
from typing import Literal

from jobs.domain.basin import Basin

Tone = Literal["calm", "watch", "stop"]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """An axis from 0, or from ``low``: what is measured and in which unit."""

    label: str
    unit: str
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """A line of a curve; the first is the answer, others are for comparison."""

    label: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A point of a curve that has a name; ``says`` is its value in words."""

    at: Point
    label: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """A level of a curve that must be reached, or kept under."""

    at: float
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A quantity against another. ``table`` are the x whose y stand in the table beside it."""

    title: str
    x: Axis
    y: Axis
    series: tuple[Series, ...]
    marks: tuple[Mark, ...] = ()
    threshold: Threshold | None = None
    table: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A part of a gauge, up to a value: what it means, and how it looks."""

    until: float
    label: str
    tone: Tone


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """A value on a scale of bands; ``span`` is where the true value may lie, ``was`` where it comes from."""

    title: str
    unit: str
    low: float
    bands: tuple[Band, ...]
    value: float
    says: str
    span: tuple[float, float] | None = None
    span_says: str = ""
    was: float | None = None
    was_says: str = ""
    decimals: int = 0

    @property
    def high(self) -> float:
        return self.bands[-1].until


@dataclass(frozen=True, slots=True, kw_only=True)
class PressureDiagram:
    """Pressure over the height of a wall: like a liquid from the top down to a most, then even to the foot.

    Attributes
    ----------
    height_ft : height poured at once.
    most_psf, liquid_psf, rated_psf : pressure at the rate, of liquid concrete at the foot, and what the form bears.
    """

    title: str
    height_ft: float
    most_psf: float
    liquid_psf: float
    rated_psf: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionFitting:
    """A fitting on a long section; ``note`` says when the water is there."""

    kind: str
    level_m: float
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolSection:
    """A pool as its long section, with water at a level."""

    title: str
    basin: Basin
    level_m: float
    fittings: tuple[SectionFitting, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolPlan:
    """A pool from above: its water line, shallow end to the left.

    ``rings`` are named distances outside the water line [m], the nearest first; with ``corners`` each corner that is
    formed is marked.
    """

    title: str
    basin: Basin
    rings: tuple[tuple[str, float], ...] = ()
    corners: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Uplift:
    """Groundwater beside an empty floor slab: its head above the underside, and the head that lifts the slab [ft]."""

    title: str
    slab_ft: float
    head_ft: float
    lifts_at_ft: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """Trucks: what each brings and what one can carry, in ``unit``."""

    title: str
    loads: tuple[float, ...]
    most: float
    unit: str = "yd³"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """Bars both ways over a rectangle [ft]: how many run along its length, and how many across."""

    title: str
    length_ft: float
    width_ft: float
    along: int
    across: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A named stretch of a scale; ``says`` is what it means in words."""

    label: str
    low: float
    high: float
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Spans:
    """Stretches of one scale from 0 under each other, with a value to hold against all of them."""

    title: str
    label: str
    unit: str
    high: float
    spans: tuple[Span, ...]
    mark: float | None = None
    mark_says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Courses:
    """A wall of forms laid course on course up to a height; what stands above it is cut off [in]."""

    title: str
    course_in: float
    courses: int
    height_in: float


Picture = Courses | Curve | Gauge | PressureDiagram | PoolPlan | PoolSection | Uplift | Loads | Mesh | Spans
