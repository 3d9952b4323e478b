"""Changes to branches and sites."""

from django.core.exceptions import ValidationError
from django.db.models import F

from jobs.domain.errors import CannotDo
from jobs.models import Branch, Site


def bump_inputs(*, branch_id: int) -> None:
    """Count a change to a branch's inputs: a proposal made before it can no longer come into force unseen."""
    Branch.objects.filter(pk=branch_id).update(input_revision=F("input_revision") + 1)


def add_site(
    *,
    branch: Branch,
    name: str,
    address: str,
    latitude: float,
    longitude: float,
    zone: str,
    soil: str = Site.Soil.LOAM,
    access_note: str = "",
) -> Site:
    """A new site of a branch.

    Raises
    ------
    CannotDo
        ``site.other_zone`` where the site is not in the branch's time zone; ``site.bad_field`` for a field the
        database would refuse.
    """
    if zone != branch.zone:
        raise CannotDo("site.other_zone", field="zone", name=name, zone=zone, branch_zone=branch.zone)
    site = Site(
        branch=branch,
        name=name,
        address=address,
        latitude=latitude,
        longitude=longitude,
        soil=soil,
        access_note=access_note,
    )
    refuse_invalid(site, "site.bad_field", name)
    site.save()
    bump_inputs(branch_id=branch.pk)
    return site


def refuse_invalid(row: Site, code: str, name: str) -> None:
    """Validate a row; the first field at fault is named in a ``CannotDo``."""
    try:
        row.full_clean()
    except ValidationError as error:
        field, messages = next(iter(error.message_dict.items()))
        raise CannotDo(code, field=field, name=name, says=" ".join(messages)) from error
