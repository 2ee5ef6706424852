"""A task's clock by the calendar of the child's zone, and what a finding makes of it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import pytest

from lumenkeep.core.due import dressing_task, due_tasks
from lumenkeep.core.model import (
    CalendarSpan,
    Case,
    Child,
    Dressing,
    Elapsed,
    Finding,
    InfusionSet,
    Line,
    People,
    Unknown,
)
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.due import DueTask

AT = datetime(2026, 3, 5, 9, 30, tzinfo=UTC)
NEW_YORK = ZoneInfo("America/New_York")
HOUR = timedelta(hours=1)
SPANS = {"day": Elapsed(86_400), "week": CalendarSpan(0, 7), "four": CalendarSpan(0, 4)}


def when(*rows: tuple[tuple[str, str, str], ...]) -> LiveWhen:
    return LiveWhen(
        tuple(
            tuple(live(Comparison(f, t, None, (word,)), None) for f, t, word in row)
            for row in rows
        )
    )


def interval(
    not_after: str | None = "week",
    not_before: str | None = None,
    task: str = "dressing",
    where: LiveWhen | None = None,
) -> Any:
    rule = SimpleNamespace(
        id=f"{task}-stays",
        because="So it is.",
        source="a-document",
        task=task,
        not_before=not_before,
        not_after=not_after,
        priority=0,
        nothing_due=False,
        where="",
    )
    return SimpleNamespace(rule=rule, when=where or when())


def finding(number: int, rows: LiveWhen, task: str = "dressing") -> Any:
    rule = SimpleNamespace(
        id=f"at-once-{number}", because="Then.", source="a-document", task=task
    )
    return SimpleNamespace(rule=rule, when=rows)


DAMP = finding(0, when((("findings", "includes", "damp"),)))


class Policy:
    """A set of the given rules, which notes the days it is asked about."""

    def __init__(self, intervals: Iterable[Any], at_once: Iterable[Any] = ()) -> None:
        self.asked: list[date] = []
        self.intervals = tuple(intervals)
        self.book = SimpleNamespace(
            cells=SimpleNamespace(of=lambda _: "a cell"),
            plausible=(),
            weighings=(),
            calls=(),
            at_once=tuple(at_once),
            intervals_of=self._of,
            value=SPANS.__getitem__,
            kept={},
            bars=lambda _: (),
            policy=SimpleNamespace(call="the nurse on call"),
        )

    def _of(self, task: str) -> list[Any]:
        return [i for i in self.intervals if i.rule.task == task]

    def on(self, day: date) -> Any:
        self.asked.append(day)
        return self.book


def asked(policy: Policy, zone: Any = UTC, at: datetime = AT, **line: Any) -> Any:
    case = Case(Child(skin_at_site="broken"), Line(**line), People(), zone)
    known: Any = policy
    return due_tasks(case, at, known)


def asked_of(task: str, *given: Any, **line: Any) -> DueTask:
    """Return the one task of a name."""
    [found] = [one for one in asked(*given, **line) if one.task == task]
    return found  # type: ignore[no-any-return]


def dressing(*rules: Any, zone: Any = UTC, at: datetime = AT, **worn: Any) -> DueTask:
    known = {"kind": "gauze", "applied": at - 2 * HOUR, "findings": (), **worn}
    policy = Policy([interval()], rules)
    found = dressing_task(asked(policy, zone, at, dressing=Dressing(**known)))
    assert found is not None
    return found


# ---------------------------------------------------------------- the calendar


def test_the_rules_are_those_of_the_day_in_the_childs_zone() -> None:
    policy = Policy([interval()])
    late = datetime(2026, 3, 5, 2, 0, tzinfo=UTC)

    asked(policy, NEW_YORK, late)
    asked(policy, ZoneInfo("Asia/Tokyo"), late + timedelta(hours=14))

    assert policy.asked == [date(2026, 3, 4), date(2026, 3, 6)]


def test_both_ends_of_a_window_keep_the_wall_time() -> None:
    """The clocks go forward in New York on 8 March 2026."""
    changed = datetime(2026, 3, 5, 9, 0, tzinfo=NEW_YORK).astimezone(UTC)
    policy = Policy([interval("week", "four", "connector")])

    task = asked_of(
        "connector", policy, NEW_YORK, changed + HOUR, connectors_changed=changed
    )

    assert task.not_before == changed + timedelta(days=4) - HOUR
    assert task.due_at == changed + timedelta(days=7) - HOUR
    assert task.state == "too-early"


def test_a_window_may_have_no_end() -> None:
    policy = Policy([interval(None, "day", "connector")])

    early = asked_of("connector", policy, connectors_changed=AT - HOUR)
    may = asked_of("connector", policy, connectors_changed=AT - timedelta(days=1))

    assert (early.state, early.due_at) == ("too-early", None)
    assert (may.state, may.due_at) == ("may-now", None)


# ---------------------------------------------------------------- what is not known


def test_a_task_says_why_its_last_time_is_not_known() -> None:
    policy = Policy([interval(task="set"), interval(task="connector")])

    found = asked(
        policy, sets=Unknown("never charted"), connectors_changed=Unknown("a gap")
    )

    assert {t.task: t.why[0] for t in found if t.task != "dressing"} == {
        "set": "Nobody knows when this was last done (never charted).",
        "connector": "Nobody knows when this was last done (a gap).",
    }


def test_a_task_has_its_plain_name() -> None:
    policy = Policy([interval(task="set"), interval(task="site-check")])

    assert {t.task: t.label for t in asked(policy)} == {
        "dressing": "Dressing",
        "set": "Administration set",
        "site-check": "Look at the site",
    }


# ---------------------------------------------------------------- findings


def test_a_finding_counts_where_the_last_change_is_not_known() -> None:
    task = dressing(
        DAMP, applied=Unknown("not given"), findings=(Finding("damp", AT - HOUR),)
    )

    assert (task.state, task.since) == ("due", None)
    assert (task.due_at, task.overdue_since) == (AT - HOUR, AT - HOUR)


def test_a_finding_older_than_the_dressing_counts_from_the_dressing() -> None:
    task = dressing(DAMP, findings=(Finding("damp", AT - 5 * HOUR),))

    assert task.since == AT - 2 * HOUR
    assert (task.due_at, task.overdue_since) == (AT - 2 * HOUR, AT - 2 * HOUR)


@pytest.mark.parametrize("at", [None, AT])
def test_a_finding_of_this_instant_counts_from_now(at: datetime | None) -> None:
    task = dressing(DAMP, findings=(Finding("damp", at),))

    assert (task.state, task.due_at) == ("due", AT)


def test_only_findings_that_the_rule_names_set_its_instant() -> None:
    task = dressing(
        DAMP,
        findings=(
            Finding("loose", AT - 2 * HOUR),
            Finding("damp", AT - HOUR),
            Finding("damp", AT + HOUR),
        ),
    )

    assert task.due_at == AT - HOUR
    assert task.why == ("Found damp.", "Then.", "So it is.")
    assert task.rules == ("at-once-0", "dressing-stays")
    assert task.sources == ("a-document",)


def test_the_findings_of_every_rule_that_holds_are_named() -> None:
    loose = finding(1, when((("findings", "includes", "loose"),)))
    task = dressing(
        DAMP, loose, findings=(Finding("loose", AT - HOUR), Finding("damp", AT))
    )

    assert task.due_at == AT - HOUR
    assert task.why[0] == "Found damp, loose."


def test_a_rule_of_another_task_or_that_may_hold_makes_nothing_due() -> None:
    other = finding(1, when((("findings", "includes", "damp"),)), "set")
    open_ = finding(2, when((("site", "is", "chest"),)))

    assert dressing(other, open_, findings=(Finding("damp"),)).state == "later"


@pytest.mark.parametrize("findings", [Unknown("not given"), ()])
def test_what_is_no_finding_may_make_a_task_due_from_now(findings: Any) -> None:
    broken = finding(0, when((("skin_at_site", "is", "broken"),)))
    task = dressing(broken, findings=findings)

    assert (task.state, task.due_at, task.overdue_since) == ("due", AT, AT)
    assert task.why == ("Then.", "So it is.")


# ---------------------------------------------------------------- kinds and order


def test_each_kind_has_its_own_rule() -> None:
    lipid = when((("set_kind", "is", "lipid"),))
    plain = when((("set_kind", "is", "plain"),))
    gauze = when((("dressing", "is", "gauze"),))
    policy = Policy(
        [
            interval("day", task="set", where=lipid),
            interval("week", task="set", where=plain),
            interval("day", where=gauze),
        ]
    )
    sets = tuple(InfusionSet(kind, AT) for kind in ("lipid", "plain"))

    def told(kind: str) -> list[tuple[str, Any]]:
        worn = Dressing(kind, AT, ())
        found = asked(policy, dressing=worn, sets=sets)
        return [(t.kind, t.due_at) for t in found]

    day, week = AT + timedelta(days=1), AT + timedelta(days=7)
    assert told("gauze") == [("gauze", day), ("lipid", day), ("plain", week)]
    assert told("transparent") == [
        ("transparent", AT),
        ("lipid", day),
        ("plain", week),
    ]


def test_what_the_policy_does_not_speak_of_is_due_and_says_whom_to_ask() -> None:
    policy = Policy([interval("day", where=when((("dressing", "is", "gauze"),)))])
    sets = (InfusionSet("medicine", AT - HOUR),)

    found = asked(policy, dressing=Dressing("bridge", AT - 2 * HOUR, ()), sets=sets)

    assert [(t.task, t.state, t.due_at, t.why, t.rules) for t in found] == [
        (
            "dressing",
            "due",
            AT - 2 * HOUR,
            (
                (
                    "The policy says nothing about tape bridge at the cord, stump bare: "
                    "ask the nurse on call."
                ),
            ),
            (),
        ),
        (
            "set",
            "due",
            AT - HOUR,
            ("The policy says nothing about medicine: ask the nurse on call.",),
            (),
        ),
    ]


def test_what_is_due_by_a_finding_comes_before_what_is_due_later() -> None:
    """A dressing charted for a time to come, and already found damp."""
    policy = Policy([interval(), interval("day", task="site-check")], [DAMP])
    worn = Dressing("gauze", AT + 5 * HOUR, (Finding("damp"),))

    found = asked(policy, dressing=worn, inspected=AT - 20 * HOUR)

    assert [(t.task, t.state) for t in found] == [
        ("dressing", "due"),
        ("site-check", "later"),
    ]
    assert found[0].due_at > found[1].due_at
