"""Who was told: what was not said stands first with its reason and can be sent again."""

from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse

from crews.domain.reachable import Reachable
from crews.models import Crew, Message
from crews.services.outbox import deliver_due, post
from jobs.models import Branch
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import page_of, text

pytestmark = pytest.mark.django_db


def tell(branch: Branch, key: str, *, mail: str = "", subject: str = "The pour moves", **more: Any) -> Message:
    person = Reachable(key=key, name=f"Name of {key}", mail=mail)
    body = "To Friday. See [[link]] <b>now</b>"
    return post(branch=branch, fact="f", person=person, subject=subject, body=body, now=NOW, urgent=True, **more)[0]


def test_a_page_without_messages_says_so_and_names_the_settings(sign_in: SignIn) -> None:
    words = text(sign_in().get(reverse("told")).content.decode())
    assert "Nobody was told anything." in words
    for setting in ("PLANNER_MAIL_URL", "PLANNER_TEXT_URL", "PLANNER_WEBHOOK_URL"):
        assert setting in words


def test_messages_stand_by_what_became_of_them(sign_in: SignIn, branch: Branch, settings: Any) -> None:
    settings.PLANNER_MAIL_URL, settings.PLANNER_MAIL_FROM = "smtp://127.0.0.1:1", "office@example.org"
    dead = tell(branch, "crew:901")
    waiting = tell(branch, "crew:902", mail="a@example.org")
    deliver_due(now=NOW)
    sent = tell(branch, "crew:903", mail="b@example.org", answer_by=NOW - timedelta(hours=1))
    Message.objects.filter(pk=sent.pk).update(state="sent", sent_at=NOW)
    response = sign_in().get(reverse("told"))
    page, html = page_of(response), response.content.decode()
    assert [one.id for one in page.dead] == [dead.pk]
    assert [one.id for one in page.waiting] == [waiting.pk]
    assert [one.id for one in page.told] == [sent.pk]
    assert page.told[0].late
    words = text(html)
    assert "Name of crew:901 has no e-mail address" in words
    assert "Mail server 127.0.0.1 cannot be reached" in words
    assert "Failing since today" in words
    assert "See (the private link)" in words
    assert "<b>now</b>" not in html


def test_send_again_takes_the_address_the_crew_has_by_now(sign_in: SignIn, branch: Branch) -> None:
    crew = Crew.objects.filter(branch=branch, own=True).order_by("pk")[0]
    row = tell(branch, f"crew:{crew.pk}")
    client = sign_in()
    refused = client.post(reverse("told_again", args=[row.pk]))
    assert refused.status_code == 409
    assert "Enter one, then send again" in text(refused.content.decode())
    Crew.objects.filter(pk=crew.pk).update(email="foreman@example.org")
    assert client.post(reverse("told_again", args=[row.pk])).status_code == 302
    row.refresh_from_db()
    assert (row.state, row.channel, row.address) == ("waiting", "mail", "foreman@example.org")
    again = client.post(reverse("told_again", args=[row.pk]))
    assert again.status_code == 409, "what waits already is not sent twice"


def test_only_the_office_sees_it_in_the_head(sign_in: SignIn) -> None:
    assert "Who was told" in sign_in().get("/").content.decode()
    assert "Who was told" not in sign_in("reader").get("/").content.decode()


def test_the_number_of_queries_does_not_grow_with_the_messages(
    sign_in: SignIn, branch: Branch, django_assert_max_num_queries: Any
) -> None:
    client = sign_in()
    for number in range(40):
        tell(branch, f"crew:{number + 1000}")
    with django_assert_max_num_queries(10):
        assert client.get(reverse("told")).status_code == 200
