"""What each figure must reach and what it aims at, by pools."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A figure that must reach one value and aims at another; lower is better unless said."""

    must: float
    aim: float
    higher_is_better: bool = False

    def judged(self, value: float | None) -> str:
        """Say both values and which of them is reached."""
        said = f"must {self.must:g}, aim {self.aim:g}"
        if value is None:
            return f"({said})"
        sign = -1 if self.higher_is_better else 1
        if sign * value <= sign * self.aim:
            return f"({said}: aim reached)"
        return f"({said}: {'reached' if sign * value <= sign * self.must else 'MISSED'})"


FIRST_SECONDS: Mapping[int, Bar] = {
    40: Bar(must=1, aim=0.5),
    100: Bar(must=2, aim=1),
    300: Bar(must=10, aim=5),
}
UNDER_RULE_PERCENT: Mapping[int, Bar] = {
    12: Bar(must=30, aim=45, higher_is_better=True),
    40: Bar(must=15, aim=20, higher_is_better=True),
    100: Bar(must=8, aim=12, higher_is_better=True),
}
OVER_KNOWN: Mapping[int, Bar] = {12: Bar(must=1.04, aim=1.01), 40: Bar(must=1.08, aim=1.03)}
MEMORY_MB: Mapping[int, Bar] = {100: Bar(must=600, aim=400), 300: Bar(must=1500, aim=1000)}
WORSE_THAN_WHOLE_PERCENT = Bar(must=0.5, aim=0)
REPLAN_FIRST_SECONDS = Bar(must=2, aim=0.5)
REPLAN_UNDER_SHIFT_PERCENT = Bar(must=25, aim=36, higher_is_better=True)
TIME_PER_TASK = Bar(must=1.5, aim=1.2)


def judged(bars: Mapping[int, Bar], pools: int, value: float | None) -> str:
    """Say the bar of a size, if it has one."""
    return bars[pools].judged(value) if pools in bars else ""
