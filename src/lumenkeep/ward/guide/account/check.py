"""Whether what a guide tells may become an entry: refused, or flagged for the reader.

Refused is what two people can still put right: a missing confirmation, a reason, a
look. What nobody can put right afterwards is charted with a sentence that says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.errors import Fault
from lumenkeep.ward.guide.account.values import DONE, YES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.ward.guide.account.values import Account, StepDone
    from lumenkeep.ward.guide.records import RunRecord

UNSAID = "The line was not to be used, and nobody said why they went on."
TOLERANCE_SECONDS = 0.5
"""A tablet that rounds its seconds is not early."""


def faults_of(account: Account, run: RunRecord) -> list[Fault]:
    """Return why an account may not become an entry: nothing, if it may.

    One that was stopped or left is never held up: it says that help is needed.
    """
    faults = list(_people(account, run))
    if account.ending == DONE:
        faults += _unconfirmed(account, run)
        faults += _early(account, run)
        faults += _not_dry(account, run)
    return faults


def flags_of(account: Account, run: RunRecord) -> list[str]:
    """Return what a reader of the entry must know, in sentences."""
    known = {step["id"] for step in run.head["steps"]}
    told = {step.id for step in account.steps}
    flags = []
    if account.ending == DONE:
        missing = [s["id"] for s in run.head["steps"] if s["id"] not in told]
        if missing:
            flags.append("Not told of these steps: " + ", ".join(missing) + ".")
    else:
        held = [*_unconfirmed(account, run), *_early(account, run)]
        flags += [fault.what for fault in held]
    if _used_unsaid(account, run):
        flags.append(UNSAID)
    slipped = [slip for slip in account.slips if slip.step not in known]
    if slipped:
        flags.append("A slip is told of a step that this guide does not have.")
    return flags


def _used_unsaid(account: Account, run: RunRecord) -> bool:
    """Return whether nobody said why they went on with a line not to be used."""
    is_held = bool(run.head.get("do_not_use"))
    is_urgent = run.head["procedure"].get("is_urgent", False)
    is_said = bool(account.do_not_use_known.strip())
    return account.ending == DONE and is_held and not is_urgent and not is_said


def _people(account: Account, run: RunRecord) -> Iterator[Fault]:
    named = {run.operator, run.assistant} - {None}
    told = {account.operator, account.assistant} - {None}
    if named != told:
        yield Fault(
            "guide-other-people",
            "These are not the two people for whom the guide was opened.",
            "people",
            "chart the change by hand and name who did it",
        )


def _unconfirmed(account: Account, run: RunRecord) -> Iterator[Fault]:
    people = run.head["people"]
    for role in ("operator", "assistant"):
        person = people[role]
        if person is not None and person["key"] not in account.confirmed:
            yield Fault(
                "guide-unconfirmed",
                f"{person['name']} has not confirmed what happened.",
                "confirmed",
                "let both people read the entry and confirm it",
            )


def _early(account: Account, run: RunRecord) -> Iterator[Fault]:
    for row, step in _counting(account, run):
        least = step["seconds"] or 0
        if row.seconds + TOLERANCE_SECONDS < least and not row.early:
            yield Fault(
                "guide-early",
                f"Step {row.id} took {row.seconds:.0f} s of {least} s, "
                "and nobody said why.",
                f"steps.{row.id}",
                "say why it was ended early",
            )


def _not_dry(account: Account, run: RunRecord) -> Iterator[Fault]:
    for row, step in _counting(account, run):
        if step["look"] is not None and YES not in row.looked[-1:]:
            yield Fault(
                "guide-not-looked",
                f"Step {row.id} ended without a look that said yes.",
                f"steps.{row.id}",
                "look and answer; if it was not dry, end the guide as stopped",
            )


def _counting(
    account: Account, run: RunRecord
) -> Iterator[tuple[StepDone, Mapping[str, Any]]]:
    """Yield what was done of each step the last time, unless a slip cut it short."""
    steps = {step["id"]: step for step in run.head["steps"]}
    slipped = {slip.step for slip in account.slips}
    last = {row.id: row for row in account.steps}
    for name, row in last.items():
        if name in steps and name not in slipped:
            yield row, steps[name]
