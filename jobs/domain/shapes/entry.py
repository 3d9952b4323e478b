"""A pool's shape as a person writes it in a file, with short ways for what is common."""

from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any

from jobs.domain.basin import Basin, Fitting, RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.fillstops import usual_fittings
from jobs.domain.shapes.curves import round_basin
from jobs.domain.shapes.forms import KEPT_APART, SHAPES, basin_from, check_names, form_of
from jobs.domain.shapes.parts import l_shape
from jobs.domain.shapes.solids import Solid, bench, straight_stair, sun_ledge
from jobs.domain.shapes.stations import Station, station

RECTANGLE = "rectangle"
USUAL_FREEBOARD_M = 0.15

# What stands in the pool, by the key of its table in the file: each makes one or more layers.
BUILT: Mapping[str, Callable[..., Solid | tuple[Solid, ...]]] = {
    "stairs": straight_stair,
    "benches": bench,
    "sun_ledges": sun_ledge,
}
SHORT_WAYS = ("l_shape", "round")


def basin_of_entry(entry: Mapping[str, Any]) -> Basin:
    """The pool an entry describes, with usual fittings where it names none.

    ``shape`` is a key of ``forms.SHAPES``, ``l_shape`` (``main``, ``leg``, ``leg_from_m``) or ``round``
    (``diameter_m``, ``depth_m``); a rectangle where it is left out. ``stairs``, ``benches`` and ``sun_ledges`` stand in
    any of them, sized as their builders in ``solids`` take them; ``solids`` are layers. A station may give ``width_m``
    (and ``floor_width_m``) instead of its two sides.

    Parameters
    ----------
    entry : Mapping[str, Any]
        Numbers in metres, named as the fields of the shape.

    Returns
    -------
    Basin
        Checked.

    Raises
    ------
    CannotDo
        ``shapes.unknown_shape``, ``shapes.bad_entry`` where a value is missing, too many or of the wrong kind, or what
        the shape itself refuses.

    Examples
    --------
    >>> basin_of_entry({"shape": "round", "diameter_m": 5.0, "depth_m": 1.2}).design_level_m
    1.2
    """
    values = dict(entry)
    shape = str(values.pop("shape", RECTANGLE))
    if shape not in SHAPES and shape not in SHORT_WAYS:
        raise CannotDo("shapes.unknown_shape", field="shape", shape=shape, shapes=", ".join((*SHAPES, *SHORT_WAYS)))
    try:
        fittings = tuple(Fitting(**one) for one in values.pop("fittings", ()))
        built = [layer for key in BUILT for one in values.pop(key, ()) for layer in _layers(BUILT[key](**one))]
        made = _made(shape, values)
    except (TypeError, ValueError, KeyError, AttributeError) as failure:
        raise CannotDo("shapes.bad_entry", field="basin", shape=shape, reason=str(failure)) from failure
    key, form = form_of(made)
    if built:
        form["solids"] = [*form.get("solids", ()), *map(asdict, built)]
    whole = basin_from(key, form, freeboard_m=made.freeboard_m, fittings=fittings)
    if fittings:
        return whole
    return basin_from(key, form, freeboard_m=made.freeboard_m, fittings=usual_fittings(whole))


def _made(shape: str, values: dict[str, Any]) -> Basin:
    """The shape of an entry, without its fittings and what is built in by name."""
    apart = {key: values.pop(key) for key in KEPT_APART if key in values}
    if shape == "round":
        return round_basin(**values, **apart)
    if shape == "l_shape":
        main, leg = (RectangularBasin(**values.pop(key)) for key in ("main", "leg"))
        return l_shape(main=main, leg=leg, **values, **{"freeboard_m": main.freeboard_m, **apart})
    if "measured" in values:
        values["measured"] = [
            asdict(station(**one) if "width_m" in one else Station(**one)) for one in values["measured"]
        ]
    check_names(shape, values)
    return basin_from(shape, values, **{"freeboard_m": USUAL_FREEBOARD_M, **apart})


def _layers(made: Solid | tuple[Solid, ...]) -> tuple[Solid, ...]:
    return (made,) if isinstance(made, Solid) else made
