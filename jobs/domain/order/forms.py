"""Insulated forms by course, corner pieces, and what braces them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jobs.domain.order.lines import PIECE_SLACK, pieces
from jobs.domain.shapes.entered import check_not_negative, check_positive
from jobs.domain.shapes.ring import ring_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FormPieces:
    """Forms of one wall: courses, corner pieces out and in, straight pieces."""

    courses: int
    corners_out: int
    corners_in: int
    straight: int


def corners_of(outline: Sequence[tuple[float, float]]) -> tuple[int, int]:
    """Corners of a water line that point out, and that point in; points of a curve are none.

    Examples
    --------
    >>> corners_of(((0, 0), (8, 0), (8, 4), (0, 4)))
    (4, 0)
    """
    formed = [corner.turn for corner in ring_of([(x, y, 0.0) for x, y in outline]) if corner.formed]
    return sum(turn > 0 for turn in formed), sum(turn < 0 for turn in formed)


def courses_of(height_m: float, course_m: float) -> int:
    """Courses that make a height, the last cut down if need be.

    Examples
    --------
    >>> courses_of(1.0668, 0.406)
    3
    """
    check_not_negative("height_m", height_m)
    check_positive("course_m", course_m)
    return math.ceil(height_m / course_m - PIECE_SLACK)


def form_pieces(
    *,
    length_m: float,
    height_m: float,
    deep_m2: float,
    corners: tuple[int, int],
    course_m: float,
    piece_m: float,
    corner_leg_m: float,
    waste: float,
) -> FormPieces:
    """Forms for the walls of a pool.

    Parameters
    ----------
    length_m, height_m : float
        Of the wall of constant height, along the middle of the form [m].
    deep_m2 : float
        Upright faces below it [m2].
    corners : tuple of int
        Corners out and in, one corner piece for each in each course.
    course_m, piece_m : float
        Height of a course, length of a straight piece [m].
    corner_leg_m : float
        Wall that one leg of a corner piece makes [m].
    waste : float
        Share of straight pieces lost in cuts, 0 or more.

    Returns
    -------
    FormPieces
        Whole pieces.
    """
    check_not_negative("waste", waste)
    courses = courses_of(height_m, course_m)
    legs = 2 * corner_leg_m * sum(corners)
    walls = courses * max(0.0, length_m - legs) + deep_m2 / course_m
    return FormPieces(
        courses=courses,
        corners_out=corners[0] * courses,
        corners_in=corners[1] * courses,
        straight=pieces(walls * (1 + waste), piece_m),
    )
