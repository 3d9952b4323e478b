"""A process that makes the yard in an empty database, its pour far ahead and its crew away on that day."""

import django


def main() -> None:
    """Migrate, build, and let the forms crew have the day of the pour off."""
    from django.core.management import call_command  # noqa: PLC0415 - only once Django is set up

    from crews.models import Crew, CrewDay  # noqa: PLC0415
    from jobs.services.branches import bump_inputs  # noqa: PLC0415
    from tests.planner.plans.replanning.yard import DAY, NOW, build_yard  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    branch = build_yard(pour_in_days=14)
    CrewDay.objects.create(crew=Crew.objects.get(branch=branch, key="forms"), on=(NOW + 14 * DAY).date(), off=True)
    bump_inputs(branch_id=branch.pk)


if __name__ == "__main__":
    django.setup()
    main()
