"""The person behind a key of the outbox, with the addresses of today."""

from crews.domain.reachable import Reachable
from crews.models import Crew, Supplier
from crews.snapshots import supplier_reached
from jobs.models import Branch
from planner.watch.people import foremen_of, office_of, owners_of


def person_of(*, branch: Branch, key: str) -> Reachable | None:
    """A foreman, a member of the office or a supplier of the branch; ``None`` where there is none any more."""
    kind, _, number = key.partition(":")
    if not (number.isascii() and number.isdigit() and len(number) < 19):
        return None
    if kind == "crew":
        crew = Crew.objects.filter(branch=branch, pk=int(number)).first()
        return foremen_of(branch, [crew.key]).get(crew.key) if crew is not None else None
    if kind == "supplier":
        supplier = Supplier.objects.filter(branch=branch, pk=int(number)).first()
        return supplier_reached(supplier) if supplier is not None else None
    return next((one for one in (*office_of(branch), *owners_of(branch)) if one.key == key), None)
