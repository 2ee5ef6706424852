"""Write a comparison of two policies as JSON values and as words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.comparing.kinds import about, compared_kinds
from lumenkeep.core.model import whole_or_not
from lumenkeep.core.model.words import DRESSINGS, SET_KINDS
from lumenkeep.core.policy.vocabulary import TASKS
from lumenkeep.core.rehearsal.procedure_files import bedside_written
from lumenkeep.text.policy.restated import weaker_in_words
from lumenkeep.text.policy.statements import ChangeInWords, SetSides, change_in_words
from lumenkeep.text.policy.words import lower_first

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from lumenkeep.core.comparing.compare_policies import (
        ChildrenDifference,
        PolicyComparison,
    )
    from lumenkeep.core.comparing.reasons import Reason
    from lumenkeep.core.policy import Policy

HOURS_PER_DAY = 24


TIMES = {
    "strength": "{} %",
    "swabs": "{} swabs",
    "scrub_s": "scrub {} s",
    "dry_s": "dry {} s",
}
VERDICTS = {"stop": "stop and call", "ask": "ask first"}
ASPECTS = {
    "antiseptic": "which antiseptic",
    "technique": "how it is used",
    "dressing": "which dressing",
    "due": "when it is due",
}


def who_in_words(difference: ChildrenDifference) -> str:
    """Return for whom and on which days, and of a task which: as a heading says it."""
    who = "; ".join(difference.who) or "every child"
    if difference.aspect == "due":
        who = f"{_task_in_words(difference.one)}: {who}"
    if difference.from_on and difference.until_on:
        return f"from {difference.from_on} until {difference.until_on}: {who}"
    if difference.from_on:
        return f"from {difference.from_on}: {who}"
    return f"until {difference.until_on}: {who}" if difference.until_on else who


def _task_in_words(said: Mapping[str, Any]) -> str:
    worn = [
        lower_first(labels.get(said[fact], said[fact]))
        for fact, labels in (("dressing", DRESSINGS), ("set_kind", SET_KINDS))
        if fact in said
    ]
    return ", ".join([TASKS[said["task"]], *worn])


def said_in_words(
    difference: ChildrenDifference, said: Mapping[str, Any], policy: Policy
) -> str:
    """Return what one of the sets answers, as a phrase."""
    if difference.aspect == "due":
        return _window_in_words(said)
    if difference.aspect == "dressing":
        kind = lower_first(DRESSINGS.get(said["dressing"] or "", "no dressing"))
        stays = said.get("stays_h", "")
        if stays == "":
            return kind
        return f"{kind}, stays {_hours(stays)}" if stays else f"{kind}, no clock runs"
    if "verdict" in said and said["verdict"] in VERDICTS:
        return VERDICTS[said["verdict"]]
    label = lower_first(policy.agents[said["agent"]].label)
    parts = [
        _of_way(name, value)
        for name, value in said.items()
        if name not in ("verdict", "agent")
    ]
    return ", ".join([label, *parts])


def _of_way(name: str, value: Any) -> str:
    if name == "area_mm":
        return f"{whole_or_not(value[0])} to {whole_or_not(value[1])} mm of skin"
    if name == "residue":
        return (
            f"off with {value.replace('-', ' ')}" if value else "nothing takes it off"
        )
    if name == "motion":
        return str(value).replace("-", " ")
    if value is None:
        return {"scrub_s": "no time of scrubbing", "strength": "no strength"}[name]
    return TIMES[name].format(whole_or_not(value))


def _window_in_words(said: Mapping[str, Any]) -> str:
    if "state" in said:
        return str(said["state"])
    parts = [
        f"{word} {said[key]}"
        for word, key in (("not before", "not_before"), ("by", "not_after"))
        if said[key] is not None
    ]
    return ", ".join(parts) or "no clock runs"


def _hours(hours: float) -> str:
    days = hours / HOURS_PER_DAY
    if hours > HOURS_PER_DAY and days == int(days):
        return f"{int(days)} days"
    return f"{whole_or_not(hours)} h"


def comparison_as_json(found: PolicyComparison) -> dict[str, Any]:
    """Return the answer to ``lumenkeep compare --json``; a page shows the same words."""
    return {
        "a": _set(found.one),
        "b": _set(found.two),
        "day": found.day.isoformat(),
        "differs": found.differs,
        "fewest": found.is_fewest,
        "exact": not found.faults,
        "faults": list(found.faults),
        "regions": [
            {
                "aspect": difference.aspect,
                "about": ASPECTS[difference.aspect],
                "who": list(difference.who),
                "says": who_in_words(difference),
                "from": _day(difference.from_on),
                "until": _day(difference.until_on),
                "a": dict(difference.one),
                "b": dict(difference.two),
                "a_says": said_in_words(difference, difference.one, found.one),
                "b_says": said_in_words(difference, difference.two, found.two),
                "why_a": [_rule(rule) for rule in difference.why_one],
                "why_b": [_rule(rule) for rule in difference.why_two],
                "example": {"case": difference.case, "at": difference.at},
            }
            for difference in found.differences
        ],
        "statements": [_statement(one) for one in statements_in_words(found)],
        "compared": {
            "over_all_children": list(found.over_children),
            "statement_by_statement": [about(kind) for kind in compared_kinds()],
        },
        "not_compared": list(found.not_compared),
    }


def statements_in_words(found: PolicyComparison) -> tuple[ChangeInWords, ...]:
    """Return the statements that differ, in words, those of one kind together."""
    sides = SetSides(
        bedside_written(found.one).numbers,
        bedside_written(found.two).numbers,
        found.day,
    )
    order = list(compared_kinds())
    changes = sorted(found.statements, key=lambda one: order.index(one.kind))
    return tuple(change_in_words(change, sides) for change in changes)


def _statement(one: ChangeInWords) -> dict[str, Any]:
    return {
        "about": one.about,
        "id": one.id,
        "change": one.change,
        "sentence": one.sentence,
        "says": list(one.says),
        "where_a": one.where_one,
        "where_b": one.where_two,
        "also": list(one.also),
    }


def _set(policy: Policy) -> dict[str, Any]:
    openly = weaker_in_words(policy)
    return {
        "set": policy.id,
        "version": policy.version,
        **({"said_openly": list(openly)} if openly else {}),
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def reason_in_words(rule: Reason) -> str:
    """Return why; with a word where it is so only of some children of the region."""
    return rule.because if rule.everywhere else f"Some of them: {rule.because}"


def _rule(rule: Reason) -> dict[str, Any]:
    return {
        "says": reason_in_words(rule),
        "everywhere": rule.everywhere,
        "rule": rule.rule,
        "because": rule.because,
        "source": rule.source,
        "where": rule.where,
    }
