"""Take what a guide tells: chart it once, or keep it beside the entry.

The run's key is the submission key of its entry, so the same account sent twice, or over
a connection that drops the answer, is one entry (decision 0018).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.line_at_hand import line_at_hand, line_in_place
from lumenkeep.ward.guide.account.check import faults_of, flags_of
from lumenkeep.ward.guide.account.drafts import Told, drafts_of, happened_at
from lumenkeep.ward.guide.account.read import digest_of, read_account
from lumenkeep.ward.guide.bundle.entry import ENTRY_OF_PROCEDURE
from lumenkeep.ward.guide.facts_since import NewFact, facts_since
from lumenkeep.ward.guide.mark import read_mark
from lumenkeep.ward.guide.records import BESIDE, WRITTEN, AccountRecord, Closing

if TYPE_CHECKING:
    from lumenkeep.ward.chart.records import Chart, Policies
    from lumenkeep.ward.guide.account.values import Account
    from lumenkeep.ward.guide.records import RunRecord, Runs
    from lumenkeep.ward.site.people import Clock, StaffRecord

ALREADY, KEPT, CHANGED = "already-written", "kept-beside", "facts-changed"


@dataclass(frozen=True, slots=True)
class Taken:
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
    chart: Chart,
    policies: Policies,
    clock: Clock,
    runs: Runs,
    *,
    run: RunRecord,
    sent: Mapping[str, Any],
    by: StaffRecord,
) -> Taken:
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
    Taken
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
    digest = digest_of(sent)
    with runs.exclusively():
        before = runs.accounts(run.key)
        if any(one.fate == WRITTEN for one in before):
            return _told_before(chart, clock, runs, run, sent, by, before, digest)
        account = read_account(sent, run.key)
        drafts, ward, policy_set = _checked(chart, policies, clock, run, account, by)
        news = facts_since(chart, policies, clock, run, _known(run, account))
        if news.changed:
            return Taken(CHANGED, changed=news.changed, mark=news.mark)
        entries = chart.append(drafts, policy_set, ward=ward, submission=run.key)
        runs.keep(_record(run, sent, by, clock, digest, WRITTEN))
        if run.closing is None:
            runs.close(run.key, Closing(WRITTEN, clock.now(), by.key, ""))
    return Taken(WRITTEN, entries)


def _checked(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    run: RunRecord,
    account: Account,
    by: StaffRecord,
) -> tuple[Sequence[Any], str, str]:
    found = line_at_hand(chart, policies, run.line)
    flags = tuple(flags_of(account, run))
    today = clock.now().astimezone(found.ward.zone).date()
    slips = {slip.id: slip.says for slip in bedside_of(found.policy, today).slips}
    told = Told(account, run, found, clock.now(), by.key, flags, slips)
    if not _was_in(told):
        line_in_place(chart, policies, run.line)
    drafts, form = drafts_of(told)
    faults = [*faults_of(account, run), *form.faults]
    if faults:
        raise ChartError(faults)
    return drafts, found.ward.key, found.ward.policy_set


def _was_in(told: Told) -> bool:
    """Return whether the line was still in when the work ended.

    An account may come late: what was done before the line came out is charted.
    """
    out = told.found.record.state.removed_at
    is_removal = "line-removed" in ENTRY_OF_PROCEDURE[told.run.procedure]
    return out is None or (not is_removal and happened_at(told)[0] <= out)


def _told_before(
    chart: Chart,
    clock: Clock,
    runs: Runs,
    run: RunRecord,
    sent: Mapping[str, Any],
    by: StaffRecord,
    before: Sequence[AccountRecord],
    digest: str,
) -> Taken:
    """Return what became of an account of a run that has its entry."""
    same = next((one for one in before if one.digest == digest), None)
    entries = chart.written(run.key)
    if same is not None:
        return Taken(ALREADY if same.fate == WRITTEN else KEPT, entries)
    runs.keep(_record(run, sent, by, clock, digest, BESIDE))
    return Taken(KEPT, entries)


def _record(
    run: RunRecord,
    sent: Mapping[str, Any],
    by: StaffRecord,
    clock: Clock,
    digest: str,
    fate: str,
) -> AccountRecord:
    tablet = str(sent.get("tablet", ""))[:80]
    return AccountRecord(run.key, tablet, clock.now(), by.key, digest, sent, fate)


def _known(run: RunRecord, account: Account) -> str:
    """Return the newest mark that the people at the bedside have seen."""
    return max(run.mark, account.acknowledged_mark, key=lambda mark: read_mark(mark)[0])
