"""How a shell is made and finished: it decides what is bought for it and how its water is started."""

from typing import Literal

from jobs.domain.method import BuildMethod

# Floor and walls in two pours with a liner, in one pour with plaster, or sprayed.
Finish = Literal["liner", "plaster", "sprayed"]


def finish_of(method: BuildMethod) -> Finish:
    """How a method makes its shell, by the kinds of work it has."""
    works = {task.exposure for task in method.tasks}
    if "spray_pour" in works:
        return "sprayed"
    return "liner" if "liner_drop" in works else "plaster"
