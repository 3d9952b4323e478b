"""A fact goes to a person once, is tried again where it was not taken, and is given up where it was refused."""

import re
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.conf import settings
from django.db import IntegrityError, transaction

from crews.domain.reachable import Reachable
from crews.domain.retries import MOST_ATTEMPTS
from crews.models import BranchReach, Message
from crews.selectors import list_dead
from crews.services.delivery import LONGEST_WAIT
from crews.services.outbox import answer, deliver_due, drop_waiting, post, send_again
from jobs.domain.errors import CannotDo
from jobs.models import Branch
from tests.crews.conftest import NOW, make_branch
from tests.crews.mailbox import Mailbox

# RFC 5322 3.6.4, obsolete forms left out: msg-id = "<" dot-atom-text "@" dot-atom-text ">".
ATOM = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+"
MSG_ID = re.compile(rf"<{ATOM}(\.{ATOM})*@{ATOM}(\.{ATOM})*>", re.ASCII)


def tell(branch: Branch, person: Reachable, *, fact: str = "plan:7", now: datetime = NOW, **more: object) -> Message:
    (row,) = post(
        branch=branch,
        fact=fact,
        person=person,
        subject="The pour moves",
        body="The floor pour moves to Friday.",
        now=now,
        **more,  # type: ignore[arg-type]
    )
    return row


def test_a_fact_arrives_once_and_its_row_says_when(branch: Branch, foreman: Reachable, mailbox: Mailbox) -> None:
    BranchReach.objects.create(branch=branch, mail="answers@example.org")
    row = tell(branch, foreman)
    assert tell(branch, foreman).pk == row.pk
    assert deliver_due(now=NOW).sent == 1
    assert deliver_due(now=NOW + timedelta(days=1)).sent == 0
    row.refresh_from_db()
    assert (row.state, row.last_error, row.lease_until) == ("sent", "", None)
    assert row.sent_at is not None
    assert NOW <= row.sent_at < NOW + timedelta(seconds=30)
    (letter,) = mailbox.letters
    assert mailbox.recipients == [["foreman@example.org"]]
    assert letter["Subject"] == "The pour moves"
    assert letter["From"] == "Pool office <office@example.org>"
    assert letter["Reply-To"] == "answers@example.org"
    assert letter["Auto-Submitted"] == "auto-generated"
    assert str(letter.get_payload()).strip() == "The floor pour moves to Friday."
    assert MSG_ID.fullmatch(mailbox.ids[0])
    assert mailbox.ids[0] == f"<{row.message_id}>"


def test_what_is_rolled_back_is_told_to_nobody(branch: Branch, foreman: Reachable, mailbox: Mailbox) -> None:
    with transaction.atomic():
        tell(branch, foreman)
        transaction.set_rollback(True)
    assert deliver_due(now=NOW).sent == 0
    assert mailbox.letters == []


def test_one_row_for_each_fact_person_and_channel(branch: Branch, foreman: Reachable, mailbox: Mailbox) -> None:
    row = tell(branch, foreman)
    other = tell(branch, Reachable(key="crew:2", name="Another", mail="foreman@example.org"))
    third = tell(make_branch("south"), foreman)
    assert len({row.message_id, other.message_id, third.message_id}) == 3
    row.pk = None
    with pytest.raises(IntegrityError):
        row.save(force_insert=True)


def test_a_server_that_is_busy_is_asked_again_later(branch: Branch, foreman: Reachable, mailbox: Mailbox) -> None:
    mailbox.answers = [("DATA", "451 4.3.0 try later")]
    row = tell(branch, foreman)
    assert deliver_due(now=NOW).put_off == 1
    row.refresh_from_db()
    assert row.state == "waiting"
    assert "451 4.3.0 try later" in row.last_error
    assert NOW + timedelta(seconds=22) < row.next_try_at < NOW + timedelta(seconds=60)
    assert deliver_due(now=NOW).sent == 0
    assert deliver_due(now=row.next_try_at).sent == 1
    row.refresh_from_db()
    assert (row.attempts, row.last_error, row.failing_since) == (2, "", None)


@pytest.mark.parametrize("at", ["RCPT", "DATA"])
def test_a_refusal_for_good_is_kept_with_its_reason_and_can_be_sent_again(
    branch: Branch, foreman: Reachable, mailbox: Mailbox, at: str
) -> None:
    mailbox.answers = [(at, "550 5.1.1 nobody of that name")]
    row = tell(branch, foreman)
    assert deliver_due(now=NOW).dead == 1
    (dead,) = list_dead(branch=branch)
    assert "550 5.1.1 nobody of that name" in dead.last_error
    assert deliver_due(now=NOW + timedelta(days=1)).sent == 0
    later = NOW + timedelta(hours=1)
    corrected = Reachable(key="crew:1", name="A foreman", mail="right@example.org")
    send_again(branch=branch, message=row.pk, now=later, person=corrected)
    assert deliver_due(now=later).sent == 1
    assert mailbox.recipients[-1] == ["right@example.org"]
    assert mailbox.ids == [f"<{row.message_id}>"]


def test_a_refused_sender_is_the_settings_fault_and_loses_no_message(
    branch: Branch, foreman: Reachable, mailbox: Mailbox
) -> None:
    mailbox.answers = [("MAIL", "550 5.7.1 sender not known")]
    tell(branch, foreman)
    assert deliver_due(now=NOW).put_off == 1
    assert deliver_due(now=NOW + timedelta(hours=1)).sent == 1


def test_one_refused_letter_does_not_hold_up_the_next(branch: Branch, foreman: Reachable, mailbox: Mailbox) -> None:
    mailbox.answers = [("RCPT", "550 no")]
    for number in range(3):
        tell(branch, foreman, fact=f"plan:{number}")
    done = deliver_due(now=NOW)
    assert (done.dead, done.sent) == (1, 2)


def test_a_server_that_is_down_is_given_up_after_the_last_attempt(
    branch: Branch, foreman: Reachable, settings: Any
) -> None:
    settings.PLANNER_MAIL_URL, settings.PLANNER_MAIL_FROM = "smtp://127.0.0.1:1", "office@example.org"
    row = tell(branch, foreman, urgent=True)
    now, waits = NOW, []
    for _ in range(MOST_ATTEMPTS):
        deliver_due(now=now)
        row.refresh_from_db()
        waits.append(row.next_try_at - now)
        now = row.next_try_at
    assert row.state == "dead"
    assert row.attempts == MOST_ATTEMPTS
    assert "127.0.0.1" in row.last_error
    assert row.failing_since is not None
    assert row.failing_since - NOW < timedelta(seconds=5)
    assert waits[:8] == sorted(waits[:8])


def test_a_repeat_after_a_lost_answer_carries_the_same_id(branch: Branch, foreman: Reachable, mailbox: Mailbox) -> None:
    mailbox.lost = True
    row = tell(branch, foreman)
    assert deliver_due(now=NOW).put_off == 1
    mailbox.lost = False
    assert deliver_due(now=NOW + timedelta(minutes=5)).sent == 1
    assert mailbox.ids == [f"<{row.message_id}>"] * 2


def test_a_row_whose_worker_died_is_taken_over_when_its_lease_is_over(
    branch: Branch, foreman: Reachable, mailbox: Mailbox
) -> None:
    row, over_at = tell(branch, foreman), NOW + settings.MESSAGE_LEASE
    Message.objects.filter(pk=row.pk).update(state="sending", attempts=1, lease_until=over_at)
    assert deliver_due(now=over_at - timedelta(seconds=5)).sent == 0
    assert deliver_due(now=over_at).sent == 1
    Message.objects.filter(pk=row.pk).update(state="sending", attempts=MOST_ATTEMPTS, lease_until=NOW)
    assert deliver_due(now=NOW).dead == 1


def test_mail_that_nobody_switched_on_waits_then_is_given_up(branch: Branch, foreman: Reachable) -> None:
    row = tell(branch, foreman)
    assert row.state == "waiting"
    assert deliver_due(now=NOW + LONGEST_WAIT - timedelta(minutes=1)).dead == 0
    assert deliver_due(now=NOW + LONGEST_WAIT).dead == 1
    row.refresh_from_db()
    assert "PLANNER_MAIL_URL" in row.last_error


def test_a_person_without_an_address_is_seen_at_once(branch: Branch, mailbox: Mailbox) -> None:
    row = tell(branch, Reachable(key="crew:3", name="Nobody's number"))
    assert (row.channel, row.state) == ("none", "dead")
    assert "Nobody's number has no e-mail address" in row.last_error
    with pytest.raises(CannotDo) as refused:
        send_again(branch=branch, message=row.pk, now=NOW)
    assert refused.value.code == "outbox.nowhere"
    send_again(
        branch=branch, message=row.pk, now=NOW, person=Reachable(key="crew:3", name="Known", mail="a@example.org")
    )
    assert deliver_due(now=NOW).sent == 1


def test_an_answer_ends_what_still_waits(branch: Branch, foreman: Reachable, mailbox: Mailbox) -> None:
    tell(branch, foreman, answer_by=NOW + timedelta(hours=2))
    assert answer(branch=branch, fact="plan:7", person="crew:1", now=NOW) == 1
    assert answer(branch=branch, fact="plan:7", person="crew:1", now=NOW) == 0
    assert deliver_due(now=NOW).sent == 0


def test_what_is_overtaken_is_dropped_unless_somebody_was_told(
    branch: Branch, foreman: Reachable, mailbox: Mailbox
) -> None:
    tell(branch, foreman, fact="plan:7:day")
    deliver_due(now=NOW)
    tell(branch, foreman, fact="plan:8:day")
    tell(branch, foreman, fact="plan:9:day")
    assert drop_waiting(branch=branch, facts="plan:", but="plan:9:day") == 1
    assert [row.state for row in Message.objects.order_by("fact")] == ["sent", "dropped", "waiting"]


@pytest.mark.parametrize(
    ("field", "value"),
    [("subject", "Hello\r\nBcc: all@example.org"), ("subject", "Hello\u2028x"), ("fact", "a\nb"), ("subject", " ")],
)
def test_no_line_break_reaches_a_header(branch: Branch, foreman: Reachable, field: str, value: str) -> None:
    words = {"fact": "plan:1", "subject": "Hello", field: value}
    with pytest.raises(CannotDo) as refused:
        post(branch=branch, person=foreman, body="Words", now=NOW, **words)  # type: ignore[arg-type]
    assert refused.value.field == field
    assert not Message.objects.exists()
