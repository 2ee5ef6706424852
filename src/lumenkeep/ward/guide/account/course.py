"""The part of an entry that says how a guided procedure went.

It holds what a reader of the chart asks for; the whole account is kept beside.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import timedelta

    from lumenkeep.ward.guide.account.read import Account
    from lumenkeep.ward.guide.records import RunRecord


def told_of(
    account: Account,
    run: RunRecord,
    flags: Iterable[str],
    ahead: timedelta,
    slips: Mapping[str, str],
) -> dict[str, Any]:
    """Return how it went, in plain values.

    Parameters
    ----------
    flags
        What a reader of the entry must know.
    ahead
        How far the tablet's clock was ahead of the server's.
    slips
        What each slip is called, by id.
    """
    verbs = {step["id"]: step["verb"] for step in run.head["steps"]}
    said = {
        "run": run.key,
        "procedure": run.procedure,
        "ending": account.ending,
        "operator": account.operator,
        "assistant": account.assistant,
        "confirmed": sorted(account.confirmed),
        "started_at": (account.started_at - ahead).isoformat(),
        "ended_at": (account.ended_at - ahead).isoformat(),
        "timed": timed(account, run),
        "early": [
            {
                "step": row.id,
                "verb": verbs.get(row.id, ""),
                "seconds": round(row.seconds),
                "why": row.early,
            }
            for row in account.steps
            if row.early
        ],
        "slips": [
            {
                "slip": slip.slip,
                "says": slips.get(slip.slip, slip.slip),
                "step": slip.step,
                "verb": verbs.get(slip.step, ""),
                "at": (slip.at - ahead).isoformat(),
                "ended": slip.ended,
                "way": list(slip.way),
            }
            for slip in account.slips
        ],
        "spares": _spares(account),
        "pauses": [dict(pause) for pause in account.pauses],
        "clock_jumps": [dict(jump) for jump in account.clock_jumps],
        "bare_seconds": round(account.bare_seconds),
        "edits": [dict(edit) for edit in account.edits],
        "unknown": [
            {"field": name, "why": why} for name, why in not_known(account).items()
        ],
        "remarks": account.remarks,
        "acknowledged": bool(account.acknowledged_mark),
        "do_not_use_known": _known(account),
        "flags": list(flags),
        "clock_ahead_seconds": round(ahead.total_seconds()),
    }
    return {key: value for key, value in said.items() if value not in ("", [], {}, 0)}


def not_known(account: Account) -> dict[str, str]:
    """Return why a field's value is not known, by field, where the people said so."""
    return {
        name: why.strip()
        for name, value in account.values.items()
        if isinstance(value, dict)
        and isinstance(why := value.get("unknown"), str)
        and why.strip()
    }


def timed(account: Account, run: RunRecord) -> list[dict[str, Any]]:
    """Return each step that has a least time with its real seconds, in order."""
    steps: Mapping[str, Any] = {step["id"]: step for step in run.head["steps"]}
    return [
        {
            "step": row.id,
            "verb": steps[row.id]["verb"],
            "least": steps[row.id]["seconds"],
            "seconds": round(row.seconds),
        }
        for row in account.steps
        if row.id in steps and steps[row.id]["seconds"]
    ]


def _known(account: Account) -> dict[str, str]:
    why = account.do_not_use_known.strip()
    return {"why": why} if why else {}


def _spares(account: Account) -> dict[str, int]:
    used: dict[str, int] = {}
    for slip in account.slips:
        for item, count in slip.spares.items():
            used[item] = used.get(item, 0) + count
    return used
