"""A pool of any shape as plain values for storage, and back."""

from collections.abc import Mapping, Sequence
from dataclasses import MISSING, asdict, fields
from typing import Any

from jobs.domain.basin import Basin, Fitting, RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.shapes.curves import CurvedBasin, EllipseBasin, KidneyBasin, StadiumBasin
from jobs.domain.shapes.parts import PartedBasin
from jobs.domain.shapes.placing import Part
from jobs.domain.shapes.solids import Solid, WithSolids
from jobs.domain.shapes.stations import Station, StationBasin

Shape = type[RectangularBasin] | type[PartedBasin] | type[StationBasin] | type[CurvedBasin]

SHAPES: Mapping[str, Shape] = {
    "rectangle": RectangularBasin,
    "parts": PartedBasin,
    "stations": StationBasin,
    "ellipse": EllipseBasin,
    "stadium": StadiumBasin,
    "kidney": KidneyBasin,
}
KEPT_APART = ("fittings", "freeboard_m")


def form_of(basin: Basin) -> tuple[str, dict[str, Any]]:
    """Key of the shape and its own values, ready for JSON; fittings and freeboard are kept apart.

    Parameters
    ----------
    basin : Basin
        Any shape of this package, with or without solids.

    Returns
    -------
    tuple
        (shape, form); solids stand under ``solids``.

    Examples
    --------
    >>> shape, form = form_of(EllipseBasin(length_m=8.0, width_m=4.0, section=((0.0, 1.5), (8.0, 1.5))))
    >>> shape, form["width_m"]
    ('ellipse', 4.0)
    """
    solids: list[dict[str, Any]] = []
    while isinstance(basin, WithSolids):
        solids = [asdict(solid) for solid in basin.solids] + solids
        basin = basin.basin
    for shape, kind in SHAPES.items():
        if isinstance(basin, kind):
            form = {name: _plain(getattr(basin, name)) for name in _own_fields(kind)}
            return shape, {**form, "solids": solids} if solids else form
    raise CannotDo("shapes.unknown_shape", field="shape", shape=type(basin).__name__, shapes=", ".join(SHAPES))


def basin_from(shape: str, form: Mapping[str, Any], *, freeboard_m: float, fittings: Sequence[Fitting] = ()) -> Basin:
    """The pool a stored form stands for: the inverse of ``form_of``.

    Raises
    ------
    CannotDo
        ``shapes.unknown_shape``, ``shapes.bad_form``, or what the shape itself refuses.
    """
    kind = SHAPES.get(shape)
    if kind is None:
        raise CannotDo("shapes.unknown_shape", field="shape", shape=shape, shapes=", ".join(SHAPES))
    values = dict(form)
    try:
        solids = tuple(Solid(**solid) for solid in values.pop("solids", ()))
        basin: Basin = kind(**_rich(values), freeboard_m=freeboard_m, fittings=tuple(fittings))
    except (TypeError, ValueError, KeyError, AttributeError) as failure:
        raise CannotDo("shapes.bad_form", field="form", shape=shape, reason=str(failure)) from failure
    return WithSolids(basin=basin, solids=solids) if solids else basin


def _own_fields(kind: Shape) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind) if field.init and field.name not in KEPT_APART)


def check_names(shape: str, form: Mapping[str, Any]) -> None:
    """Refuse values a shape does not have, and the lack of values it needs, by name.

    Raises
    ------
    CannotDo
        ``shapes.bad_entry``.
    """
    own = [field for field in fields(SHAPES[shape]) if field.init and field.name not in KEPT_APART]
    unknown = sorted(set(form) - {field.name for field in own} - {"solids"})
    needed = [field.name for field in own if field.default is MISSING and field.default_factory is MISSING]
    lacking = [name for name in needed if name not in form]
    if unknown or lacking:
        reason = f"it has no {', '.join(unknown)}" if unknown else f"{', '.join(lacking)} is missing"
        raise CannotDo("shapes.bad_entry", field=(unknown or lacking)[0], shape=shape, reason=reason)


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return asdict(value) if isinstance(value, Part | Station) else value


def _rich(values: dict[str, Any]) -> dict[str, Any]:
    made = dict(values)
    if "parts" in made:
        made["parts"] = tuple(_part(part) for part in made["parts"])
    if "measured" in made:
        made["measured"] = tuple(Station(**station) for station in made["measured"])
    if "section" in made:
        made["section"] = tuple((x, depth) for x, depth in made["section"])
    return made


def _part(values: Mapping[str, Any]) -> Part:
    basin = {**values["basin"], "fittings": tuple(Fitting(**one) for one in values["basin"].get("fittings", ()))}
    return Part(**{**values, "basin": RectangularBasin(**basin)})
