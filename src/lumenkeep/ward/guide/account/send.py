"""Take what a guide tells: refuse it, chart it once, or keep it beside the entry.

Refused is what two people can still put right: a missing confirmation, a reason, a
look. What nobody can put right afterwards is charted with a sentence that says so.

The run's key is the submission key of its entry, so the same account sent twice, or over
a connection that drops the answer, is one entry (decision 0018).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.acting import ToChart
from lumenkeep.ward.chart.line_at_hand import line_at_hand, line_in_place
from lumenkeep.ward.guide.account.drafts import AccountContext, drafts_of, happened_at
from lumenkeep.ward.guide.account.read import DONE, YES, digest_of, read_account
from lumenkeep.ward.guide.bundle.entry import ENTRY_OF_PROCEDURE
from lumenkeep.ward.guide.facts_since import NewFact, facts_since, read_mark
from lumenkeep.ward.guide.records import BESIDE, WRITTEN, AccountRecord, Closing

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.store.repository import ChartRepository
    from lumenkeep.ward.guide.account.read import Account, StepDone
    from lumenkeep.ward.guide.records import RunRecord
    from lumenkeep.ward.guide.repository import RunRepository
    from lumenkeep.ward.site.people import StaffRecord

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


ALREADY, KEPT, CHANGED = "already-written", "kept-beside", "facts-changed"


@dataclass(frozen=True, slots=True)
class AccountTaken:
    """What became of an account.

    Attributes
    ----------
    status
        "written", "already-written", "kept-beside" or "facts-changed".
    entries
        Of the run; empty where nothing is written.
    changed, mark
        What is new on the chart, and the mark to acknowledge it with.
    """

    status: str
    entries: Sequence[Entry] = ()
    changed: Sequence[NewFact] = ()
    mark: str = ""


def send_account(
    at: WardContext,
    runs: RunRepository,
    *,
    run: RunRecord,
    sent: Mapping[str, Any],
    by: StaffRecord,
) -> AccountTaken:
    """Chart what a guide tells, once.

    Parameters
    ----------
    run
        The guide it is of.
    sent
        The account as `docs/for-engineers/reference-guide.md` describes it.
    by
        Who is signed in and sends it.

    Returns
    -------
    AccountTaken
        ``facts-changed`` where the chart says something new that nobody has
        acknowledged: then nothing is written.

    Raises
    ------
    ChartError
        Every fault at once: ``guide-bad-account``; else ``guide-other-people``,
        ``guide-unconfirmed``, ``guide-early``, ``guide-not-looked`` and those of the
        form. ``chart-line-removed`` where the line was out before the work ended.
    StoreError
        Nothing was written.
    """
    tablet = str(sent.get("tablet", ""))[:80]
    record = AccountRecord(
        run.key, tablet, at.clock.now(), by.key, digest_of(sent), sent, WRITTEN
    )
    with runs.exclusively():
        before = runs.accounts(run.key)
        if any(one.fate == WRITTEN for one in before):
            return _told_before(at.chart, runs, record, before)
        account = read_account(sent, run.key)
        new = _checked(at, run, account, by)
        news = facts_since(at, run, _known(run, account))
        if news.changed:
            return AccountTaken(CHANGED, changed=news.changed, mark=news.mark)
        entries = at.chart.append(
            new.drafts, new.ward.policy_set, ward=new.ward.key, submission=run.key
        )
        runs.keep(record)
        if run.closing is None:
            runs.close(run.key, Closing(WRITTEN, at.clock.now(), by.key, ""))
    return AccountTaken(WRITTEN, entries)


def _checked(
    at: WardContext, run: RunRecord, account: Account, by: StaffRecord
) -> ToChart:
    found, now = line_at_hand(at, run.line), at.clock.now()
    flags = tuple(flags_of(account, run))
    today = found.ward.day_of(now)
    slips = {slip.id: slip.says for slip in bedside_of(found.policy, today).slips}
    told = AccountContext(account, run, found, now, by.key, flags, slips)
    if not _was_in(told):
        line_in_place(at, run.line)
    drafts, form = drafts_of(told)
    faults = [*faults_of(account, run), *form.faults]
    if faults:
        raise ChartError(faults)
    return ToChart(found.ward, drafts)


def _was_in(told: AccountContext) -> bool:
    """Return whether the line was still in when the work ended.

    An account may come late: what was done before the line came out is charted.
    """
    out = told.found.record.state.removed_at
    is_removal = "line-removed" in ENTRY_OF_PROCEDURE[told.run.procedure]
    return out is None or (not is_removal and happened_at(told)[0] <= out)


def _told_before(
    chart: ChartRepository,
    runs: RunRepository,
    record: AccountRecord,
    before: Sequence[AccountRecord],
) -> AccountTaken:
    """Return what became of an account of a run that has its entry."""
    same = next((one for one in before if one.digest == record.digest), None)
    entries = chart.written(record.run)
    if same is not None:
        return AccountTaken(ALREADY if same.fate == WRITTEN else KEPT, entries)
    runs.keep(replace(record, fate=BESIDE))
    return AccountTaken(KEPT, entries)


def _known(run: RunRecord, account: Account) -> str:
    """Return the newest mark that the people at the bedside have seen."""
    return max(run.mark, account.acknowledged_mark, key=lambda mark: read_mark(mark)[0])
