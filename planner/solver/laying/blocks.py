"""Tasks that must be laid down together: those tied by a longest wait or by gear held from one to another."""

from dataclasses import dataclass

from planner.solver.laying.ground import Ground


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Tasks placed as one, each after those it waits for, and the blocks that must be placed before."""

    tasks: tuple[str, ...]
    waits_for: tuple[int, ...]


def find_blocks(ground: Ground) -> tuple[Block, ...]:
    """Return the blocks in an order in which each comes after those it waits for.

    A longest wait or a gear hold ties its two tasks and everything between them: read backwards it is a link too,
    so the blocks are the strongly connected parts of the links with those added. Pinned tasks belong to none.
    """
    free = [key for key in ground.order if ground.starts[key].task.pin is None]
    after: dict[str, list[str]] = {key: [] for key in free}
    for link in ground.binding_links:
        if link.before in after and link.after in after:
            after[link.before].append(link.after)
            if link.max_minutes is not None or link.close is not None:
                after[link.after].append(link.before)
    for hold in ground.problem.holds_of_gear:
        if hold.since is None and hold.from_task in after and hold.until_task in after:
            after[hold.until_task].append(hold.from_task)
            after[hold.from_task].append(hold.until_task)
    parts = _strong_parts(free, after)
    rank = {key: number for number, key in enumerate(ground.order)}
    home = {key: number for number, part in enumerate(parts) for key in part}
    before: list[set[int]] = [set() for _ in parts]
    for key, others in after.items():
        for other in others:
            if home[key] != home[other]:
                before[home[other]].add(home[key])
    return tuple(
        Block(tasks=tuple(sorted(part, key=rank.__getitem__)), waits_for=tuple(sorted(before[number])))
        for number, part in enumerate(parts)
    )


def _strong_parts(keys: list[str], after: dict[str, list[str]]) -> list[list[str]]:
    """Tarjan's strongly connected components, without recursion, in topological order."""
    seen: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    on_stack: set[str] = set()
    parts: list[list[str]] = []
    for root in keys:
        if root in seen:
            continue
        work = [(root, 0)]
        while work:
            key, at = work.pop()
            if at == 0:
                seen[key] = low[key] = len(seen)
                stack.append(key)
                on_stack.add(key)
            elif after[key][at - 1] in on_stack:
                low[key] = min(low[key], low[after[key][at - 1]])
            if at < len(after[key]):
                work.append((key, at + 1))
                if after[key][at] not in seen:
                    work.append((after[key][at], 0))
                continue
            if low[key] == seen[key]:
                cut = stack.index(key)
                parts.append(stack[cut:])
                on_stack.difference_update(stack[cut:])
                del stack[cut:]
    return parts[::-1]
