"""The fewest rows that make the service pull: a branch, sites, and one open task on each."""

from jobs.models import Branch, Site, Task


def a_branch(name: str = "north", *, country: str = "US") -> Branch:
    return Branch.objects.create(
        name=name,
        slug=name,
        company="Made up",
        zone="America/New_York",
        country=country,
        opens="07:00",
        closes="15:00",
        yard_latitude=40.7,
        yard_longitude=-74.2,
    )


def a_site(branch: Branch, name: str, latitude: float, longitude: float, *, exposure: str = "none") -> Task:
    """A site with one task left to do."""
    site = Site.objects.create(branch=branch, name=name, address="1 Road", latitude=latitude, longitude=longitude)
    return Task.objects.create(
        branch=branch, site=site, key="look", title="Look", kind="work", run="shift", work_minutes=60, exposure=exposure
    )
