"""Find in a line's entries what somebody must act on.

Each finding is judged by the rules in force when its entry was written, so that a
change of policy neither raises nor lifts a concern about the past. The same finding
seen again belongs to the same concern until a person has closed it.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.model.chart import roots_of, standing
from lumenkeep.core.policy.numbers import as_seconds
from lumenkeep.core.watch.concerns import CLOSED, ConcernAct, ConcernDuty, FoundConcern
from lumenkeep.core.watch.concerns_fold import (
    RuleReading,
    closing_order,
    folded,
    is_of_site,
)
from lumenkeep.core.watch.concerns_life import TIP_CONFIRMED, acts_by_key
from lumenkeep.core.watch.concerns_signs import Seen, told
from lumenkeep.core.watch.length import (
    LengthRules,
    LengthVerdict,
    Measured,
    judge_lengths,
)
from lumenkeep.core.watch.length_rules import length_rules
from lumenkeep.core.watch.length_words import day_and_time
from lumenkeep.core.watch.site_looks import SiteLook, look_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from datetime import datetime, tzinfo

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import RuleBook, Situation
    from lumenkeep.core.policy.watch_rules import ConcernRule

    BookOf = Callable[[Entry], RuleBook]
    SituationAt = Callable[[datetime], Situation]


TELL_ALONE = ("concern-raised", "line-removed")
"""Kinds of entry that raise a concern without a look at the site or a length."""
QUESTION = "length-doubtful"
"""The sign that asks for another measurement. The next length answers it: what nobody has
taken on by then is no concern any more, since a person has done what it asked."""


def found_concerns(
    entries: Sequence[Entry], book_of: BookOf, situation_at: SituationAt, zone: tzinfo
) -> tuple[FoundConcern, ...]:
    """Return every finding of a line that raises a concern, closed ones included.

    Parameters
    ----------
    entries
        Of the line and its child, corrected ones included, in any order.
    book_of
        The rules to judge an entry by.
    situation_at
        The line's facts at an instant (UTC).
    zone
        The ward's zone, for days and times in sentences.
    """
    acts = acts_by_key(entries)
    counted = standing(entries)
    readings: dict[str, list[RuleReading]] = {}
    order_of = _orders(entries, acts)
    for seen in _each_seen(counted, acts, book_of, situation_at, zone):
        _read(seen, situation_at, readings, order_of)
    removed = next((e for e in counted if e.kind == "line-removed"), None)
    out = (
        f"The line was taken out {day_and_time(removed.happened_at, zone)}."
        if removed
        else ""
    )
    found = [
        one
        for rule, rows in folded(readings, acts).items()
        for one in _episodes(rule, rows, acts, out, zone)
    ]
    known = {one.key for one in found}
    found += [
        _orphan(key, done, book_of(counted[-1]))
        for key, done in acts.items()
        if key not in known
    ]
    return tuple(sorted(found, key=lambda one: (one.since, one.key)))


def length_verdict(
    entries: Sequence[Entry], book_of: BookOf, situation_at: SituationAt
) -> tuple[LengthVerdict, LengthRules, tuple[Measured, ...]]:
    """Return what the lengths say at the latest one, by what rules, and those compared."""
    counted = standing(entries)
    acts = acts_by_key(entries)
    measured = _measured(counted)
    if not measured:
        return judge_lengths((), LengthRules(())), LengthRules(()), ()
    last = next(e for e in counted if e.id == measured[-1].entry)
    rules = length_rules(book_of(last), situation_at(last.happened_at))
    rows, has_baseline = _compared(measured, counted, acts, last)
    return judge_lengths(rows, rules, has_baseline=has_baseline), rules, rows


def _each_seen(
    counted: Sequence[Entry],
    acts: Mapping[str, tuple[ConcernAct, ...]],
    book_of: BookOf,
    situation_at: SituationAt,
    zone: tzinfo,
) -> list[Seen]:
    measured = _measured(counted)
    looks: list[SiteLook] = []
    found = []
    for entry in counted:
        look = look_of(entry)
        if look is not None:
            looks.append(look)
        has_length = entry.body.get("external_length_mm") is not None
        if look is None and not has_length and entry.kind not in TELL_ALONE:
            continue
        book = book_of(entry)
        verdict = rules = None
        if has_length:
            rules = length_rules(book, situation_at(entry.happened_at))
            rows, has_baseline = _compared(measured, counted, acts, entry)
            verdict = judge_lengths(rows, rules, has_baseline=has_baseline)
        agreed = _last_closing(acts, book, "stitch-lost", entry)
        found.append(
            Seen(
                entry,
                book,
                zone,
                tuple(looks),
                _counted_since(looks, agreed),
                look is not None,
                verdict,
                rules,
            )
        )
    return found


def _read(
    seen: Seen,
    situation_at: SituationAt,
    readings: dict[str, list[RuleReading]],
    order_of: Callable[[str, Entry], int],
) -> None:
    for live in seen.book.concerns:
        rule = live.rule
        tells = told(rule, seen)
        if tells.shown is None or (not tells.shown and rule.id not in readings):
            continue
        # A rule of which it is not known whether it holds is on the safe side.
        if live.when.truth(situation_at(seen.entry.happened_at)) is False:
            continue
        reading = RuleReading(
            order_of(rule.id, seen.entry),
            seen.entry,
            tells,
            duty_of(rule, seen.book),
            is_of_site(rule),
            rule.signs == (QUESTION,),
        )
        readings.setdefault(rule.id, []).append(reading)


def duty_of(rule: ConcernRule, book: RuleBook) -> ConcernDuty:
    """Return what a rule asks of whom, with its times looked up."""
    source = book.policy.sources.get(rule.source)
    return ConcernDuty(
        rule=rule.id,
        label=rule.label,
        because=rule.because,
        asks=rule.asks,
        source=source.title if source else rule.source,
        how=rule.how or (source.how if source else "memory"),
        hold=rule.hold or "",
        who=rule.who,
        then=rule.then,
        act_within=timedelta(seconds=as_seconds(book.value(rule.act_within))),
        settle_within=timedelta(seconds=as_seconds(book.value(rule.settle_within))),
        is_of_length="length-moved" in rule.signs,
    )


def _orders(
    entries: Sequence[Entry], acts: Mapping[str, tuple[ConcernAct, ...]]
) -> Callable[[str, Entry], int]:
    """Return what places a reading among the acts: the id that names its concern.

    An entry that was corrected after somebody acted on it keeps the name that they
    acted on.
    """
    roots = roots_of(entries)
    versions: dict[int, list[int]] = {}
    for id_, root in roots.items():
        versions.setdefault(root, []).append(id_)

    def order(rule: str, entry: Entry) -> int:
        for id_ in sorted(versions[roots[entry.id]]):
            if f"{rule}:{id_}" in acts:
                return id_
        return entry.id

    return order


def _episodes(
    rule: str,
    rows: Sequence[RuleReading],
    acts: Mapping[str, tuple[ConcernAct, ...]],
    out: str,
    zone: tzinfo,
) -> list[FoundConcern]:
    """Cut one rule's readings into concerns: a new one only after a closing."""
    groups: list[list[RuleReading]] = []
    key, closed_by = "", None
    for row in sorted(rows, key=lambda one: one.order):
        is_over = closed_by is not None and row.order > closed_by
        is_over = is_over or bool(groups and groups[-1][-1].is_answered)
        if not groups or is_over or _stands_alone(row):
            if not row.told.shown:
                continue
            groups.append([])
            key = f"{rule}:{row.order}"
            closed_by = closing_order(acts.get(key, ()))
        groups[-1].append(row)
    return [
        _found(rule, group, out, zone)
        for group in groups
        if not _last(group).is_answered or f"{rule}:{group[0].order}" in acts
    ]


def _stands_alone(row: RuleReading) -> bool:
    """Return whether each such entry is a concern of its own."""
    return row.entry.kind == "concern-raised"


def _in_time(row: RuleReading) -> tuple[datetime, int]:
    return row.entry.happened_at, row.entry.id


def _last(group: Sequence[RuleReading]) -> RuleReading:
    return max(group, key=_in_time)


def _found(
    rule: str, group: Sequence[RuleReading], out: str, zone: tzinfo
) -> FoundConcern:
    first = group[0]
    in_time = sorted(group, key=_in_time)
    shown = [row for row in in_time if row.told.shown]
    last = in_time[-1]
    proposal = ""
    if not last.told.shown:
        when = day_and_time(last.entry.happened_at, zone)
        proposal = f"{last.told.says} ({when})"
    if shown[-1].entry.kind == "line-removed":
        out = ""  # it is what raised the concern, and no reason to close it
    return FoundConcern(
        key=f"{rule}:{first.order}",
        duty=first.duty,
        says=shown[-1].told.says,
        short=shown[-1].told.short,
        since=shown[0].entry.happened_at,
        last_at=shown[-1].entry.happened_at,
        entries=tuple(row.entry.id for row in shown),
        proposal=" ".join(part for part in (proposal, out) if part),
        detail=shown[-1].told.detail,
    )


def _rule_of(key: str) -> str:
    return key.split(":", maxsplit=1)[0]


def _orphan(key: str, acts: Sequence[ConcernAct], book: RuleBook) -> FoundConcern:
    """Return a concern whose entry was taken back after somebody acted on it.

    It stays until somebody closes it; without a rule any more it is due at once.
    """
    rule = _rule_of(key)
    live = next((one for one in book.concerns if one.rule.id == rule), None)
    first = acts[0]
    if live is not None:
        duty = duty_of(live.rule, book)
    else:
        nothing = timedelta(0)
        duty = ConcernDuty(
            rule, first.label or rule, "", "", "", "memory", "", "charge-nurse",
            "educator", nothing, nothing,
        )  # fmt: skip
    return FoundConcern(
        key=key,
        duty=duty,
        says=first.says,
        short=duty.label[:1].lower() + duty.label[1:],
        since=first.at,
        last_at=first.at,
        entries=(),
        proposal="The entry that showed it has been taken back or corrected.",
        is_orphan=True,
    )


def _measured(counted: Sequence[Entry]) -> list[Measured]:
    found = []
    for entry in counted:
        length = entry.body.get("external_length_mm")
        if isinstance(length, int | float):
            arm = entry.body.get("arm") or None
            found.append(Measured(entry.id, entry.happened_at, float(length), arm))
    return found


def _compared(
    measured: Sequence[Measured],
    counted: Sequence[Entry],
    acts: Mapping[str, tuple[ConcernAct, ...]],
    upto: Entry,
) -> tuple[tuple[Measured, ...], bool]:
    """Return the lengths up to an entry from the baseline on, and whether it is one.

    The baseline is the length at insertion, until a check of the tip has confirmed
    where the line lies: then it is the last length before that.
    """
    end = (upto.happened_at, upto.id)
    rows = [one for one in measured if (one.at, one.entry) <= end]
    inserted = {e.id for e in counted if e.kind == "line-inserted"}
    has_baseline = bool(rows) and rows[0].entry in inserted
    confirmed = [
        act
        for done in acts.values()
        for act in done
        if act.outcome == TIP_CONFIRMED and act.at <= upto.happened_at
    ]
    if confirmed:
        at = max(act.at for act in confirmed)
        before = [position for position, one in enumerate(rows) if one.at <= at]
        if before:
            return tuple(rows[before[-1] :]), True
    return tuple(rows), has_baseline


def _last_closing(
    acts: Mapping[str, tuple[ConcernAct, ...]], book: RuleBook, sign: str, upto: Entry
) -> int | None:
    rules = {live.rule.id for live in book.concerns if sign in live.rule.signs}
    closings = [
        act.entry
        for key, done in acts.items()
        for act in done
        if act.kind == CLOSED and _rule_of(key) in rules and act.entry < upto.id
    ]
    return max(closings, default=None)


def _counted_since(
    looks: Sequence[SiteLook], agreed: int | None
) -> tuple[SiteLook, ...]:
    """Return the looks since stitches were agreed on, and the last count before."""
    if agreed is None:
        return tuple(looks)
    before = [x for x in looks if x.entry < agreed and x.stitches is not None][-1:]
    return (*before, *(x for x in looks if x.entry > agreed))
