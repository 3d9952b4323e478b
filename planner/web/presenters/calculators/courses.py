"""A wall of forms laid course on course, with what is cut off the top."""

from collections.abc import Iterator
from dataclasses import dataclass

from planner.calculators.answering.answer import amount
from planner.calculators.answering.pictures import Courses
from planner.web.presenters.calculators.scale import WIDTH, Words
from planner.web.presenters.canvas import points, px

LEFT, RIGHT, TOP, FOOT = 12.0, 168.0, 18.0, 16.0
HIGHEST = 180.0
JOINT_EVERY = 56.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnCourses:
    """Context ``drawn`` of ``planner/calculate/courses.html``."""

    template: str
    title: str
    summary: str
    width: float
    height: float
    wall: str
    cut: str
    joints: tuple[str, ...]
    top: str
    says: tuple[Words, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_courses(picture: Courses) -> DrawnCourses:
    """Place the courses on paper, from the floor up."""
    laid = picture.course_in * picture.courses
    scale, right = HIGHEST / laid, WIDTH - RIGHT
    foot = TOP + HIGHEST
    top = foot - scale * picture.height_in
    rows = range(1, picture.courses)
    levels = tuple(
        points(((LEFT, foot - scale * picture.course_in * row), (right, foot - scale * picture.course_in * row)))
        for row in rows
    )
    cut = laid - picture.height_in
    said = f"{amount(picture.height_in, 1)} in high"
    return DrawnCourses(
        template="planner/calculate/courses.html",
        title=picture.title,
        summary=f"{picture.title}: {_laid(picture)}, {said}; {amount(cut, 1)} in are cut off the top.",
        width=WIDTH,
        height=px(foot + FOOT),
        wall=points(((LEFT, top), (right, top), (right, foot), (LEFT, foot))),
        cut=points(((LEFT, TOP), (right, TOP), (right, top), (LEFT, top))) if cut > 0.05 else "",
        joints=(*levels, *(one for row in range(picture.courses) for one in _joints(picture, row, scale, foot))),
        top=points(((LEFT, top), (right + 8, top))),
        says=(
            *(
                (Words(x=px(right + 12), y=px(TOP + 4), anchor="start", words=f"cut off {amount(cut, 1)} in"),)
                if cut > 0.05
                else ()
            ),
            Words(x=px(right + 12), y=px(max(top + 4, TOP + 22)), anchor="start", words=said),
            Words(x=px(right + 12), y=px(max(top + 22, TOP + 40)), anchor="start", words=_laid(picture)),
        ),
        heads=("Course", "Its top, in"),
        rows=tuple(
            (str(row), amount(min(picture.course_in * row, picture.height_in), 1))
            for row in range(1, picture.courses + 1)
        ),
    )


def _laid(picture: Courses) -> str:
    return f"{picture.courses} course{'' if picture.courses == 1 else 's'} of {amount(picture.course_in, 1)} in"


def _joints(picture: Courses, row: int, scale: float, foot: float) -> Iterator[str]:
    """Upright joints of one course; every other course is laid half a form on."""
    low, high = foot - scale * picture.course_in * row, foot - scale * picture.course_in * (row + 1)
    at = LEFT + JOINT_EVERY * (0.5 if row % 2 else 1.0)
    while at < WIDTH - RIGHT - 4:
        yield points(((at, low), (at, high)))
        at += JOINT_EVERY
