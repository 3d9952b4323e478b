"""What the build method of a job says of a task."""

from datetime import timedelta

from jobs.domain.facts import JobFacts, TaskFacts
from jobs.domain.method import TaskRule
from jobs.methods.loader import list_methods, load_method


def rule_of(job: JobFacts, task: TaskFacts) -> TaskRule | None:
    """The rule of a task; ``None`` outside a method that comes with the product."""
    return load_method(job.method).by_key.get(task.key) if job.method in list_methods() else None


def setup_of(job: JobFacts, task: TaskFacts) -> timedelta:
    """Time before the first unit of a task is done."""
    rule = rule_of(job, task)
    return timedelta(hours=rule.setup_hours if rule is not None else 0.0)
