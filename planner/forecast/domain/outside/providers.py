"""Which public services there are, whom their forecasts are credited to, and in which order a branch asks them."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Provider:
    """A source by its key.

    ``cells`` is the key of the source whose map cells it shares; ``credit`` must be shown; ``a_second`` is how many
    requests a second it is asked at most by all workers together (0: no limit), ``one_at_once`` that it is asked one
    after another.
    """

    key: str
    title: str
    cells: str
    credit: str
    a_second: float = 0.0
    one_at_once: bool = False


# Limits the service does not publish: common practice, no source.
NWS = Provider(
    key="nws",
    title="US National Weather Service",
    cells="nws",
    credit="Forecast: US National Weather Service (public domain).",
    a_second=2.0,
)
NWS_HOURLY = Provider(
    key="nws_hourly",
    title="US National Weather Service, hourly text (no rain amounts)",
    cells="nws",
    credit="Forecast: US National Weather Service (public domain).",
    a_second=2.0,
)
# Outside the Nordic countries the service gives amounts, but no chance of rain. Its terms allow 20 requests a second
# to a whole application (api.met.no terms of service, from memory); we stay well below.
MET = Provider(
    key="met",
    title="MET Norway",
    cells="met",
    credit="Forecast: MET Norway, CC BY 4.0, made hourly by us.",
    a_second=5.0,
)
OPEN_METEO = Provider(
    key="open_meteo",
    title="Open-Meteo",
    cells="open_meteo",
    credit="Forecast: Open-Meteo.com, CC BY 4.0, made hourly by us.",
    one_at_once=True,
)
REPLAY = Provider(key="replay", title="Recorded weather", cells="replay", credit="Recorded weather, moved in time.")

PROVIDERS: Mapping[str, Provider] = {provider.key: provider for provider in (NWS, NWS_HOURLY, MET, OPEN_METEO, REPLAY)}
# The United States and the islands whose forecasts its service makes (ISO 3166-1).
NWS_COUNTRIES = frozenset({"US", "PR", "VI", "GU", "MP", "AS"})


def order_for(country: str, *, open_meteo: bool) -> tuple[Provider, ...]:
    """The services that serve a country, the one asked first in front; each next one stands in for those before.

    >>> [provider.key for provider in order_for("US", open_meteo=False)]
    ['nws', 'nws_hourly', 'met']
    >>> [provider.key for provider in order_for("NO", open_meteo=True)]
    ['met', 'open_meteo']
    """
    home = (NWS, NWS_HOURLY) if country.upper() in NWS_COUNTRIES else ()
    return (*home, MET, *((OPEN_METEO,) if open_meteo else ()))
