"""The water of one pool: what its start takes for the real volume, what a test should read, what a wet week did."""

from collections.abc import Iterator
from dataclasses import dataclass

from jobs.domain.design import PoolDesign
from jobs.domain.order.finish import Finish
from jobs.domain.order.water import StartDose, bands_of, start_doses
from jobs.domain.units import lb_from_kg
from jobs.words import sentence_for
from planner.calculators.answering.answer import amount
from planner.calculators.answering.sources import said_source
from planner.calculators.water.doses import NAMES, dose_words
from planner.dayplans.presenters.measures import Gettext, measure
from planner.dayplans.presenters.water import Said, dilution_head, dilution_words
from planner.plans.domain.water import Dilution

BAG_LB = 40.0
LITRES_PER_M3 = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseRow:
    """One product of the start: how much, for what, and when."""

    product: str
    dose: str
    brings: str
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BandRow:
    """What a test should read, and where that comes from."""

    what: str
    reads: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterView:
    """Context ``water`` of ``planner/pool_supplies.html``; ``after_rain`` is empty but after a wet week or
    a refill, and ``after_head`` says which."""

    volume: str
    doses: tuple[DoseRow, ...]
    bands: tuple[BandRow, ...]
    cautions: tuple[str, ...]
    after_head: str
    after_rain: tuple[str, ...]


def water_view(
    design: PoolDesign, *, finish: Finish, diluted: Dilution | None, said: Said, gettext: Gettext = str
) -> WaterView:
    """The water section of a pool.

    Parameters
    ----------
    diluted : Dilution, optional
        What rain and refills did and will do to a pool that was salted.
    said : callable
        Words for a moment.
    """
    volume_m3 = design.basin.water_volume_m3
    doses = start_doses(volume_m3, finish)
    codes = dict.fromkeys(code for one in doses for code in one.doses.cautions)
    return WaterView(
        volume=measure(volume_m3 * LITRES_PER_M3, "l", gettext),
        doses=tuple(_row(one, gettext) for one in doses),
        bands=tuple(_bands(finish)),
        cautions=tuple(" ".join(sentence_for(code, {})) for code in codes),
        after_head=gettext(dilution_head(diluted)) if diluted is not None else "",
        after_rain=dilution_words(diluted, said) if diluted is not None else (),
    )


def _row(one: StartDose, gettext: Gettext) -> DoseRow:
    words = dose_words(one.doses, one.doses.doses_each)
    if one.doses.product == "salt":
        bags = lb_from_kg(one.doses.total_kg) / BAG_LB
        words = gettext("{dose}, {bags} bags of 40 lb").format(dose=words, bags=amount(bags, 1))
    if one.doses.doses_each > 1:
        words = gettext("{dose} in {count} doses").format(dose=words, count=one.doses.doses_each)
    brings = gettext("each {ppm} ppm the test lacks") if one.each_step else gettext("up to {ppm} ppm, from none")
    return DoseRow(
        product=gettext(NAMES[one.doses.product]),
        dose=words,
        brings=brings.format(ppm=f"{one.change_ppm:g}"),
        when=gettext(one.when),
    )


def _bands(finish: Finish) -> Iterator[BandRow]:
    for band in bands_of(finish):
        reads = f"{band.low:g} to {band.high:g} {band.unit}".strip()
        yield BandRow(what=band.what, reads=reads, source=said_source(band.source))
