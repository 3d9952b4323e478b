"""What was tried, in words a person would use of it."""

from planner.plans.asking.wishes import Wish, another_name
from planner.web.presenters.pools.reader import Reader


def wish_words(reader: Reader, wish: Wish) -> str:
    """One wish as a phrase; what is gone since goes by what it was called."""
    say, subject = reader.gettext, _subject(reader, wish)
    days = _days(reader, wish)
    phrases = {
        "crew_away": say("{subject} away, {days}"),
        "extra_crew": say("one more crew like {subject}"),
        "saturday": say("work on {days}"),
        "rain": say("rain all day, {days}"),
        "visit_fails": say("{subject} fails"),
        "gear_lost": say("{subject}, one less"),
        "promise": say("{subject} promised for {days}"),
        "like_pool": say("{subject}, not before {days}"),
    }
    return phrases[wish.kind].format(subject=subject, days=days)


def _days(reader: Reader, wish: Wish) -> str:
    if wish.from_on is None:
        return ""
    if wish.until_on is None or wish.until_on == wish.from_on:
        return reader.day(wish.from_on)
    return reader.gettext("{first} to {last}").format(first=reader.day(wish.from_on), last=reader.day(wish.until_on))


def _subject(reader: Reader, wish: Wish) -> str:
    if wish.kind in ("crew_away", "extra_crew"):
        crew = reader.crews.get(wish.subject)
        return crew.name if crew is not None else wish.subject
    if wish.kind == "gear_lost":
        return next((one.name for one in reader.world.crews.gear if one.kind == wish.subject), wish.subject)
    if wish.kind == "visit_fails":
        found = next((pair for key, pair in reader.tasks.items() if str(key) == wish.subject), None)
        return f"{found[0].name}: {found[1].title}" if found is not None else reader.gettext("a visit")
    job = next((one for one in reader.world.jobs if str(one.id) == wish.subject), None)
    if job is None:
        return reader.gettext("a pool")
    return another_name(job) if wish.kind == "like_pool" else job.name
