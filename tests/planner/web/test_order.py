"""What to order for a pool: on its page, as a table, on the command line, at the office's own prices."""

import csv
import io
from io import StringIO

import pytest
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.base import CommandError

from jobs.domain.order.finish import finish_of
from jobs.domain.order.sold import sold_in_us
from jobs.domain.units import yd3_from_m3
from jobs.methods.loader import list_methods, load_method
from jobs.models import Branch, Job, Task
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import page_of

pytestmark = pytest.mark.django_db
FLOOR = "Concrete for the floor"


def table_of(text: str) -> dict[str, dict[str, str]]:
    return {row["item"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}


def test_page_table_and_command_say_the_same(sign_in: SignIn) -> None:
    job = Job.objects.get(name="Heron Lane")
    client = sign_in("reader")
    assert f'href="/pools/{job.pk}/order/"' in client.get(f"/pools/{job.pk}/").content.decode()
    page = page_of(client.get(f"/pools/{job.pk}/order/"))
    got = client.get(f"/pools/{job.pk}/order.csv")
    assert got["Content-Type"].startswith("text/csv")
    assert 'filename="order-heron-lane.csv"' in got["Content-Disposition"]
    table = table_of(got.content.decode())
    assert [row.item for row in page.rows] == list(table)
    for row in page.rows:
        assert row.buy.replace(",", "") == f"{table[row.item]['buy']} {table[row.item]['sold as']}"
    printed, told = StringIO(), StringIO()
    call_command("order_list", "heron lane", stdout=printed)
    call_command("order_list", "Heron Lane", "--csv", stdout=told)
    assert all(row.item in printed.getvalue() and row.buy in printed.getvalue() for row in page.rows)
    assert table_of(told.getvalue()) == table
    # The floor is ordered as its day sheet orders it, in quarter yards.
    floor = Task.objects.get(job=job, key="pour_floor")
    assert yd3_from_m3(floor.quantity or 0) == pytest.approx(float(table[FLOOR]["buy"]))
    assert float(table[FLOOR]["buy"]) * 4 == round(float(table[FLOOR]["buy"]) * 4)


def test_the_office_s_own_prices_change_the_over_order(sign_in: SignIn, branch: Branch) -> None:
    job = Job.objects.get(name="Heron Lane")
    client = sign_in()
    usual = table_of(client.get(f"/pools/{job.pk}/order.csv").content.decode())
    Branch.objects.filter(pk=branch.pk).update(buying={"short_dollars_m3": 20_000, "stock_bar_m": 12.192})
    own = table_of(client.get(f"/pools/{job.pk}/order.csv").content.decode())
    assert float(own[FLOOR]["buy"]) > float(usual[FLOOR]["buy"])
    assert own["Wall bars"]["sold as"] == "bars of 40 feet"


@pytest.mark.parametrize(
    ("own", "says"),
    [({"short_dollars_m3": -1}, "short dollars"), ({"crane": 3}, "crane"), ({"deck": "thick"}, "deck"), ([1], "1")],
)
def test_sizes_that_cannot_be_reckoned_with_are_refused_in_the_admin(branch: Branch, own: object, says: str) -> None:
    branch.buying = own
    with pytest.raises(ValidationError) as refused:
        branch.full_clean()
    assert says in str(refused.value.message_dict["buying"])


def test_an_unknown_pool_is_named_with_those_there_are(branch: Branch) -> None:
    with pytest.raises(CommandError, match=r"no pool called Elsewhere\. Choose one of: Heron Lane"):
        call_command("order_list", "Elsewhere")


def test_a_pool_without_a_design_is_refused_in_words(sign_in: SignIn, branch: Branch) -> None:
    job = Job.objects.get(name="Heron Lane")
    job.basin.delete()
    refused = sign_in().get(f"/pools/{job.pk}/order/")
    assert refused.status_code == 409
    assert "No design of Heron Lane is stored" in refused.content.decode()


def test_each_method_buys_for_its_own_finish() -> None:
    found = {key: finish_of(load_method(key)) for key in list_methods()}
    assert found == {
        "insulated_form_liner": "liner",
        "insulated_form_plaster": "plaster",
        "sprayed_shell": "sprayed",
    }


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        # Exact by definition: 0.9144 m a yard, 2000 lb of 0.45359237 kg a ton.
        (0.764554857984, "m3", "1 cubic yard"),
        (0.90718474, "t", "1 ton"),
        (3.6576, "size", "12 feet"),
        (2.54, "size", "8 feet 4 inches"),
        (1.0, "set", "1 set"),
    ],
)
def test_amounts_are_said_as_they_are_sold(value: float, unit: str, said: str) -> None:
    assert sold_in_us(value, unit) == said
