"""``python -m tests.benchmarks.waiting``: what it is worth to price the days a missed start waits."""

from tests.benchmarks.waiting.deciding import compared, made_outlooks, recorded_outlooks
from tests.planner.forecast_domain.real_record import FOLDER

# Loss and a day of waiting [dollars].
PRICES = ((3500, 250), (1800, 250), (1800, 600), (900, 300), (500, 500))


def main() -> None:
    sources = {"EWR 2013, forecasts made from it": tuple(made_outlooks(4))}
    if (FOLDER / "statham_2026_forecasts.csv.gz").exists():
        sources["one summer's forecasts as issued"] = tuple(recorded_outlooks())
    for title, outlooks in sources.items():
        print(title)
        print("   loss  a day  decisions  differ  by chance  with waiting  standard error of the gain")
        for loss, a_day in PRICES:
            one = compared(outlooks, loss=loss, a_day=a_day)
            print(
                f"  {loss:5,}  {a_day:5}  {one.decisions:9,}  {one.differ:6}  {one.by_chance:9.1f}  "
                f"{one.with_waiting:12.1f}  {one.error:.1f}"
            )


if __name__ == "__main__":
    main()
