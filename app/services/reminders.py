"""Answering reminders, silencing them, and choosing how early they come and when all is quiet."""

from collections.abc import Mapping
from datetime import time, timedelta
from typing import cast

from sqlalchemy.orm import Session

from app.core.digest import EMPTY_MORNING
from app.core.reminders import BY_KEY, EVERYTHING, Rule
from app.queries.reminders import LABELS
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.base import Owned
from app.store.fishrooms import Fishroom
from app.store.journal import Act
from app.store.lines import Line
from app.store.reminders import Answer, AnswerKind, LeadTime, Muted
from app.store.session import find, rows

LATER_DAYS = 2
LONGEST_LEAD = 60
LONGEST_NUMBER = 12
WORDS = {
    AnswerKind.DONE: "Done",
    AnswerKind.LATER: "Put off for two days",
    AnswerKind.NOT_NEEDED: "Not needed",
}


def answer(session: Session, actor: Actor, *, key: str, kind: AnswerKind, words: str = "") -> Answer:
    """Keep the answer to one reminder; it is not asked again, or not before the day it was put off to."""
    actor.must_log()
    if not key or len(key) > 120:
        raise Refused("Which reminder? Open the rounds again and answer it there.", "key")
    until = actor.today + timedelta(days=LATER_DAYS) if kind is AnswerKind.LATER else None
    entry = Entry(session, actor, "answer reminder")
    before = rows(session, Answer, Answer.key == key)
    if before:
        entry.change(before[0], kind=kind, until_on=until, answered_at=actor.now)
        kept = before[0]
    else:
        kept = entry.add(Answer(key=key, kind=kind, until_on=until, answered_at=actor.now))
    entry.tell("rounds:0", f"{WORDS[kind]}: {words.strip()}" if words.strip() else WORDS[kind])
    return kept


def mute(session: Session, actor: Actor, *, rule: str, subject: str, words: str = "") -> Muted:
    """Let a rule never speak of one fish, batch, tank or project again, until that is taken back."""
    actor.must_log()
    kind, _, number = subject.partition(":")
    if rule not in BY_KEY or kind not in LABELS or not (number.isascii() and number.isdigit()):
        raise Refused("Which reminder, about whom? Open the rounds again and answer it there.", "rule")
    row = find(session, LABELS[kind][0], int(number[:LONGEST_NUMBER]))
    return _silence(session, actor, rule, f"{kind}:{row.id}", words.strip() or BY_KEY[rule].title)


def _silence(session: Session, actor: Actor, rule: str, subject: str, words: str) -> Muted:
    there = rows(session, Muted, Muted.rule == rule, Muted.subject == subject)
    entry = Entry(session, actor, "silence reminder")
    kept = there[0] if there else entry.add(Muted(rule=rule, subject=subject, muted_at=actor.now))
    entry.tell("rounds:0", f"Never again: {words}")
    return kept


def mute_rule(session: Session, actor: Actor, rule: str) -> Muted:
    """Let a rule never speak at all in this fishroom, until that is taken back."""
    actor.must_manage()
    if rule not in BY_KEY:
        raise Refused("Which reminder? Choose one of the list.", "silenced")
    return _silence(session, actor, rule, EVERYTHING, BY_KEY[rule].title)


def unmute(session: Session, actor: Actor, muted_id: int) -> Act:
    """Let the rule speak of it again."""
    actor.must_log()
    muted = find(session, Muted, muted_id)
    entry = Entry(session, actor, "let reminder speak")
    title = BY_KEY[muted.rule].title if muted.rule in BY_KEY else muted.rule
    entry.remove(muted)
    return entry.tell("rounds:0", f"Reminds again: {title}")


def choose_leads(session: Session, actor: Actor, days: Mapping[str, int | None]) -> Act:
    """Set how many days ahead rules speak in the whole fishroom; none means the usual."""
    actor.must_manage()
    there = {row.rule: row for row in rows(session, LeadTime, LeadTime.line_id.is_(None))}
    entry = Entry(session, actor, "choose lead times")
    for key, chosen in days.items():
        rule = _with_lead(key)
        _possible(chosen, key)
        _keep(entry, there.get(key), key, None, None if chosen == rule.lead else chosen)
    return entry.tell("fishroom", "Lead times of reminders changed")


def choose_line_lead(session: Session, actor: Actor, *, rule: str, line_id: int, days: int | None) -> Act:
    """Set how many days ahead a rule speaks of one line's fish."""
    actor.must_manage()
    found, line = _with_lead(rule), find(session, Line, line_id)
    if days is None:
        raise Refused("How many days ahead?", "days")
    _possible(days, "days")
    there = rows(session, LeadTime, LeadTime.rule == rule, LeadTime.line_id == line.id)
    entry = Entry(session, actor, "choose lead times")
    _keep(entry, there[0] if there else None, found.key, line.id, days)
    return entry.tell(f"line:{line.id}", f"{found.title}, for {line.name}: {days} days ahead")


def drop_line_lead(session: Session, actor: Actor, lead_id: int) -> Act:
    """Let a line follow the fishroom's lead time again."""
    actor.must_manage()
    lead = find(session, LeadTime, lead_id)
    entry = Entry(session, actor, "choose lead times")
    entry.remove(lead)
    return entry.tell("fishroom", "A line follows the fishroom’s lead time again")


def choose_empty_mornings(session: Session, actor: Actor, days: int) -> Act:
    """Send a short message on mornings with nothing new, that looks so many days ahead; 0 sends none."""
    actor.must_manage()
    _possible(days, "empty_days")
    there = rows(session, LeadTime, LeadTime.rule == EMPTY_MORNING)
    entry = Entry(session, actor, "choose empty mornings")
    _keep(entry, there[0] if there else None, EMPTY_MORNING, None, days or None)
    return entry.tell("fishroom", f"Mornings with nothing new: {'a short' if days else 'no'} message")


def choose_quiet_hours(session: Session, actor: Actor, *, start: time | None, end: time | None) -> Act:
    """Set the hours in which no message leaves; none of both for no quiet."""
    actor.must_manage()
    if (start is None) != (end is None):
        raise Refused("Quiet hours need both ends; leave both empty for none.", "quiet_to")
    if start is not None and start == end:
        raise Refused("Quiet hours that end when they begin are none; leave both empty.", "quiet_to")
    room = session.get_one(Fishroom, actor.fishroom_id)
    entry = Entry(session, actor, "choose quiet hours")
    # A fishroom is not owned by one; the journal needs no more than its number.
    entry.change(cast("Owned", room), quiet_from=start, quiet_to=end)
    return entry.tell("fishroom", "Quiet hours changed" if start else "No quiet hours")


def _with_lead(key: str) -> Rule:
    rule = BY_KEY.get(key)
    if rule is None or rule.lead is None:
        raise Refused("That reminder has no lead time to choose.", "rule")
    return rule


def _possible(days: int | None, field: str) -> None:
    if days is not None and not 0 <= days <= LONGEST_LEAD:
        raise Refused(f"{days} days: give 0 to {LONGEST_LEAD} days ahead.", field)


def _keep(entry: Entry, there: LeadTime | None, rule: str, line_id: int | None, days: int | None) -> None:
    if there is None and days is not None:
        entry.add(LeadTime(rule=rule, line_id=line_id, days=days))
    elif there is not None and days is None:
        entry.remove(there)
    elif there is not None:
        entry.change(there, days=days)
