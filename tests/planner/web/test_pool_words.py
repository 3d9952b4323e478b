"""Words on the pages of pools that were taken for something else: ends at midnight."""

from datetime import timedelta

from jobs.models import Branch
from planner.plans.domain.binding import BindingGate
from planner.web.loading import load
from planner.web.presenters.pools.binding_words import binding_sentence
from planner.web.presenters.pools.reader import Reader


def test_what_ends_at_midnight_ends_with_the_day_before(branch: Branch) -> None:
    loaded = load(branch)
    reader = Reader(loaded.world, loaded.stays)
    midnight = reader.today_from + timedelta(days=16)
    gate = BindingGate(kind="gear", opens_at=midnight, what="Line pump", where="Millrace")
    # The demo's Monday is June 8, 2026: midnight at the start of Wednesday, June 24 ends Tuesday the 23rd.
    said = binding_sentence(reader, gate).replace("\u00a0", " ")
    assert said == "Line pump is at Millrace until the end of Tue Jun 23."
    noon = BindingGate(kind="gear", opens_at=midnight + timedelta(hours=12), what="Line pump", where="Millrace")
    assert binding_sentence(reader, noon).replace("\u00a0", " ").endswith("until Wed Jun 24 noon.")
