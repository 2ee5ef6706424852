"""Carry entries out of the chart and into it, as a chart file holds them."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from django.db.models import Max

from lumenkeep.core.model.place import place
from lumenkeep.core.policy import DEFAULT_SET, Policy, load_policy, shipped_sets
from lumenkeep.errors import Fault, InputError, PolicyError
from lumenkeep.ward.chart.charting.form_fields import own_fields
from lumenkeep.ward.chart.models import Child, EntryRow, LinePlace, PolicyVersion, Ward
from lumenkeep.ward.chart.store.follow import tell_followers
from lumenkeep.ward.chart.store.policies import policy_of, record_version
from lumenkeep.ward.chart.store.projection import project, ward_zones
from lumenkeep.ward.chart.store.rows import entries_of, row_of
from lumenkeep.ward.chart_file.bounds import FileBounds, bounds_of
from lumenkeep.ward.chart_file.chart_file import policy_named
from lumenkeep.ward.chart_file.merge import Merged, merged
from lumenkeep.ward.site.written_once import all_or_nothing

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Sequence
    from datetime import datetime

    from lumenkeep.core.entries import Field
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.site.people import Clock


class CarriedPolicies:
    """The versions that the entries of a file name, recorded as they are needed.

    A version that the file names stays. One that this chart does not know is recorded
    with its texts where a set here has them, else by its name alone: nothing is then
    judged by it. An entry that names none is written under what is in force now on the
    ward where its child lay last.

    Parameters
    ----------
    told
        Every entry of the file.
    now
        The present (UTC).
    """

    def __init__(self, told: Sequence[Entry], now: datetime) -> None:
        self._told = told
        self._now = now
        self._wards = dict(Ward.objects.values_list("key", "policy_set"))
        self._of_name: dict[str, int] = {}
        self._of_child: dict[str, int] = {}

    def version_of(self, entry: Entry) -> int:
        """Return the key of the version that an entry is written under."""
        if not entry.policy:
            return self._in_force(entry.child)
        if entry.policy not in self._of_name:
            self._of_name[entry.policy] = self._named(entry.policy)
        return self._of_name[entry.policy]

    def _in_force(self, child: str) -> int:
        if child not in self._of_child:
            entries = [one for one in self._told if one.child == child]
            ward = place(entries).ward
            name = self._wards.get(ward or "", DEFAULT_SET)
            version = record_version(name, self._now, ward)
            self._of_child[child] = version.pk
        return self._of_child[child]

    def _named(self, policy: str) -> int:
        named = policy_named(policy) or {}
        digest = named.get("digest", "")
        known = PolicyVersion.objects.filter(digest=digest).first()
        if known is None:
            known = self._recorded(policy, named, digest)
        return known.pk

    def _recorded(
        self, policy: str, named: dict[str, str], digest: str
    ) -> PolicyVersion:
        first = min(one.written_at for one in self._told if one.policy == policy)
        for name in {*shipped_sets(), *self._wards.values()}:
            if _digest_of(name) == digest:
                return record_version(name, first)
        return PolicyVersion.objects.create(
            set_id=named.get("set", ""),
            version=named.get("version", ""),
            digest=digest,
            files=[],
            first_seen=first,
        )


def _digest_of(name: str) -> str | None:
    try:
        return load_policy(name).digest
    except PolicyError:
        return None


def bounds_of_chart() -> FileBounds:
    """Return the bounds of the world, and what any policy of this chart ever added.

    What was charted under an older version or another ward's set is known here.
    """
    also: dict[str, dict[str, Field]] = {}
    for policy in _policies():
        for kind, fields in own_fields(policy).items():
            also.setdefault(kind, {}).update({one.key: one for one in fields})
    known = {kind: tuple(fields.values()) for kind, fields in also.items()}
    return FileBounds(bounds_of(load_policy(DEFAULT_SET)).spans, known)


def _policies() -> list[Policy]:
    rows = PolicyVersion.objects.exclude(files=[])
    names = {*shipped_sets(), *Ward.objects.values_list("policy_set", flat=True)}
    ways: list[Callable[[], Policy]] = [partial(policy_of, row) for row in rows]
    ways += [partial(load_policy, name) for name in sorted(names)]
    found = []
    for way in ways:
        # A set that cannot be read any more adds nothing.
        with suppress(PolicyError):
            found.append(way())
    return found


ROWS_AT_ONCE = 900


@dataclass(frozen=True, slots=True)
class Carried:
    """What an import wrote, or would write."""

    written: int
    there: int
    children: int
    lines: int


def carried_out(ward: str | None) -> Iterator[Entry]:
    """Yield entries in the order of writing: of all children, or of those of a ward.

    A ward's children are those that ever lay there.
    """
    rows = EntryRow.objects.all()
    if ward is not None:
        stays = EntryRow.objects.filter(kind="stay", body__ward=ward)
        rows = rows.filter(child__in=stays.values("child"))
    ids = list(rows.order_by("id").values_list("id", flat=True))
    for start in range(0, len(ids), ROWS_AT_ONCE):
        some = ids[start : start + ROWS_AT_ONCE]
        yield from entries_of(rows.filter(id__range=(some[0], some[-1])))


def carry_in(
    told: Sequence[Entry], name: str, clock: Clock, *, dry_run: bool = False
) -> Carried:
    """Write the entries that the chart does not have yet: all of them, or none.

    Parameters
    ----------
    told
        Sound entries of a file, in the order of writing.
    name
        What messages call the file.
    dry_run
        Write nothing, and say what would be written.

    Raises
    ------
    InputError
        Every way in which the file does not fit this chart.
    StoreError
        ``chart-not-written``: the database failed; nothing was written.
    """
    failed = Fault(
        "chart-not-written",
        "The chart could not be written; nothing of this was saved.",
        "chart",
        "import it again; what is there already is passed over",
    )
    with all_or_nothing(failed):
        return _carried(told, name, clock, dry_run=dry_run)


def _carried(
    told: Sequence[Entry], name: str, clock: Clock, *, dry_run: bool
) -> Carried:
    children = sorted({entry.child for entry in told})
    lines = {entry.line: entry.child for entry in told if entry.line is not None}
    chart = _of_children(children)
    found = merged(told, chart, _first_free_id(), ward_zones())
    faults = [
        *_strange_wards(found.new, name),
        *_lines_of_others(lines, name),
        *_corrected_already(found.new, chart, name),
    ]
    if faults:
        raise InputError(faults)
    new_children = _unknown(Child, children)
    new_lines = _unknown(LinePlace, sorted(lines))
    if not dry_run and found.new:
        Child.objects.bulk_create(Child(key, key) for key in new_children)
        LinePlace.objects.bulk_create(LinePlace(key, lines[key]) for key in new_lines)
        _write(found, told, clock)
    return Carried(len(found.new), found.there, len(new_children), len(new_lines))


def _of_children(children: Sequence[str]) -> list[Entry]:
    found: list[Entry] = []
    for start in range(0, len(children), ROWS_AT_ONCE):
        some = children[start : start + ROWS_AT_ONCE]
        found += entries_of(EntryRow.objects.filter(child__in=some))
    return sorted(found, key=lambda entry: entry.id)


def _first_free_id() -> int:
    return (EntryRow.objects.aggregate(newest=Max("id"))["newest"] or 0) + 1


def _unknown(table: type[Child | LinePlace], keys: Sequence[str]) -> list[str]:
    known = set(table.objects.values_list("key", flat=True))
    return [key for key in keys if key not in known]


def _write(found: Merged, told: Sequence[Entry], clock: Clock) -> None:
    policies = CarriedPolicies(told, clock.now())
    for start in range(0, len(found.new), ROWS_AT_ONCE):
        EntryRow.objects.bulk_create(
            row_of(entry, policies.version_of(entry))
            for entry in found.new[start : start + ROWS_AT_ONCE]
        )
    touched = _touched(found.new)
    project(touched)
    tell_followers(touched, clock)


def _touched(new: Sequence[Entry]) -> Collection[str]:
    """Return the lines that read otherwise now: those told of, and their child's."""
    children = {entry.child for entry in new if entry.line is None}
    rows = LinePlace.objects.values_list("key", "child_id")
    named = {entry.line for entry in new if entry.line is not None}
    return named | {key for key, child in rows if child in children}


def _strange_wards(new: Sequence[Entry], name: str) -> Iterator[Fault]:
    known = set(Ward.objects.values_list("key", flat=True))
    told = {str(entry.body.get("ward") or "") for entry in new if entry.kind == "stay"}
    for ward in sorted(told - known - {""}):
        yield Fault(
            "chart-file-no-such-ward",
            f"There is no ward '{ward}' here, and children lay on it.",
            name,
            "make the ward first: name it in your hospital's file and run "
            "`lumenkeep set-up`",
        )


def _lines_of_others(lines: dict[str, str], name: str) -> Iterator[Fault]:
    for key, child in LinePlace.objects.values_list("key", "child_id"):
        if lines.get(key, child) != child:
            yield Fault(
                "chart-file-line-taken",
                f"The line '{key}' is another child's in this chart.",
                name,
                "give the line another key in the file",
            )


def _corrected_already(
    new: Sequence[Entry], chart: Sequence[Entry], name: str
) -> Iterator[Fault]:
    """Yield a fault where the chart corrects an entry that the file corrects otherwise."""
    corrected = {entry.corrects for entry in chart if entry.corrects is not None}
    for entry in new:
        if entry.corrects in corrected:
            yield Fault(
                "chart-file-corrected-already",
                f"Entry {entry.corrects} of the chart has been corrected already, and "
                "the file corrects it otherwise.",
                f"{name}: {entry.kind} of {entry.happened_at.isoformat()}",
                "take the correction out of the file, or let it correct the later one",
            )
