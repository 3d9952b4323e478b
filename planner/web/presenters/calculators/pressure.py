"""The pressure of fresh concrete over the height of a wall form."""

from dataclasses import dataclass

from planner.calculators.answering.answer import amount
from planner.calculators.answering.pictures import PressureDiagram
from planner.web.presenters.calculators.scale import SIZE, WIDTH, Scale, Tick, Words, ticks
from planner.web.presenters.canvas import points, px, words_width

HEIGHT = 288.0
LEFT, RIGHT, TOP, FOOT = 62.0, 16.0, 34.0, 48.0
FORM = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPressure:
    """Context ``drawn`` of ``planner/calculate/pressure.html``."""

    template: str
    title: str
    summary: str
    width: float
    height: float
    left: float
    right: float
    top: float
    foot: float
    form_x: float
    envelope: str
    liquid: str
    rated: str
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    most_says: Words
    rated_says: Words
    liquid_says: Words
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_pressure(diagram: PressureDiagram) -> DrawnPressure:
    """Place a pressure diagram on paper: height upwards, pressure to the right."""
    widest = 1.12 * max(diagram.liquid_psf, diagram.rated_psf if diagram.rated_psf < 2 * diagram.liquid_psf else 0.0)
    x = Scale(low=0.0, high=widest, start=LEFT, end=WIDTH - RIGHT)
    y = Scale(low=0.0, high=diagram.height_ft, start=HEIGHT - FOOT, end=TOP)
    full_ft = diagram.height_ft * (1 - diagram.most_psf / diagram.liquid_psf)
    top, foot = (x.at(0), y.at(diagram.height_ft)), (x.at(0), y.at(0))
    knee, corner = (x.at(diagram.most_psf), y.at(full_ft)), (x.at(diagram.most_psf), y.at(0))
    rated_x = x.at(min(diagram.rated_psf, widest))
    return DrawnPressure(
        template="planner/calculate/pressure.html",
        title=diagram.title,
        summary=_summary(diagram, full_ft),
        width=WIDTH,
        height=HEIGHT,
        left=LEFT,
        right=px(WIDTH - RIGHT),
        top=TOP,
        foot=px(HEIGHT - FOOT),
        form_x=px(LEFT - FORM),
        envelope=points((top, knee, corner, foot)),
        liquid=points((knee, (x.at(diagram.liquid_psf), y.at(0)))),
        rated="" if diagram.rated_psf > widest else points(((rated_x, TOP - 6), (rated_x, HEIGHT - FOOT))),
        x_ticks=ticks(x, about=4),
        y_ticks=ticks(y),
        most_says=_inside(f"{amount(diagram.most_psf)} psf", knee[0], HEIGHT - FOOT - 10),
        rated_says=_rated_words(diagram, rated_x, widest),
        liquid_says=Words(
            x=px(WIDTH - RIGHT),
            y=px((knee[1] + HEIGHT - FOOT) / 2 - 14),
            anchor="end",
            words=f"liquid {amount(diagram.liquid_psf)}" if full_ft > 0 else "",
        ),
        heads=("Height above the foot, ft", "Pressure, psf"),
        rows=tuple(_rows(diagram, full_ft)),
    )


def _inside(words: str, right: float, y: float) -> Words:
    fits = right - 8 - words_width(words, SIZE) > LEFT
    return Words(x=px(right - 8 if fits else right + 8), y=px(y), anchor="end" if fits else "start", words=words)


def _rated_words(diagram: PressureDiagram, x: float, widest: float) -> Words:
    words = f"form rated {amount(diagram.rated_psf)}"
    if diagram.rated_psf > widest:
        return Words(x=px(WIDTH - RIGHT), y=px(TOP - 14), anchor="end", words=f"{words}, off the picture")
    half = words_width(words, SIZE) / 2
    return Words(x=px(min(max(x, LEFT + half), WIDTH - RIGHT - half)), y=px(TOP - 14), anchor="middle", words=words)


def _rows(diagram: PressureDiagram, full_ft: float) -> list[tuple[str, ...]]:
    rows = [(f"{amount(diagram.height_ft, 1)}, top", "0")]
    if full_ft > 0:
        rows.append((f"{amount(full_ft, 1)} and below", amount(diagram.most_psf)))
    else:
        rows.append(("0, foot", amount(diagram.most_psf)))
    rows.append(("0, if it were liquid", amount(diagram.liquid_psf)))
    rows.append(("Form is rated for", amount(diagram.rated_psf)))
    return [tuple(row) for row in rows]


def _summary(diagram: PressureDiagram, full_ft: float) -> str:
    most = amount(diagram.most_psf)
    shape = (
        f"grows from the top to {most} psf at {amount(full_ft, 1)} ft and stays so to the foot"
        if full_ft > 0
        else f"grows like a liquid to {most} psf at the foot"
    )
    return f"{diagram.title}: {shape}; the form is rated for {amount(diagram.rated_psf)} psf."
