"""A second reading of a chart, written apart from the application's own.

It is written from the laws of the chart and from what a form's words mean at the
bedside, as plainly as a colleague would read the paper. It shares no code with the
registry's reading: where the two differ, one of them is wrong.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

SITE = {
    "red", "hot", "swollen", "painful", "discharge", "bleeding", "bleeding-on",
    "hard-vein",
}  # fmt: skip
BROKEN = {"skin-broken", "blister", "skin-torn"}
SKIN = BROKEN | {"rash", "sodden"}
LINE = {
    "line-out", "line-broken", "securement-off", "port-trouble", "line-blocked",
    "no-blood-return",
}  # fmt: skip
CHILD = {"limb-swollen", "fever"}
EVERY_SIGN = SITE | SKIN | LINE | CHILD
DRY_ENDS = {"bleeding", "bleeding-on", "discharge", "sodden"}
UNDER_THE_DRESSING = {"bleeding", "discharge", "sodden"}
"""What is found on a dressing and lies at the site: it outlasts the dressing."""
SITE_IN_ONE_WORD = {
    "red": "red", "swollen": "swollen", "painful": "painful", "discharge": "discharge",
    "bleeding": "bleeding", "skin broken": "skin-broken",
}  # fmt: skip
HOLDS = {
    "discharge": "pus", "line-out": "line-out", "line-broken": "line-broken",
    "limb-swollen": "limb-swollen", "port-trouble": "port-trouble",
}  # fmt: skip
"""Signs with which the line must not be used, and the concern that each raises."""
LOOKS = ("dressing-change", "re-cover", "finding", "site-check")


class Row(NamedTuple):
    """One entry as it lies in the database; instants in UTC."""

    id: int
    line: str | None
    kind: str
    at: datetime
    corrects: int | None
    body: dict[str, Any]


@dataclass
class HungSet:
    """A set that hangs: what runs through it, and since when; None: nobody said."""

    kind: str | None = None
    since: datetime | None = None


@dataclass
class Read:
    """What holds for one line; None is what nobody has said.

    Attributes
    ----------
    is_in
        Whether there is such a line, and it is in.
    signs
        What is there at the site, the line and the child.
    found
        What was found on the dressing that is on, since it was put on.
    sets
        By name; None while nobody said whether any hangs.
    done
        When each recurring task was last done (UTC).
    is_held
        Whether the line must not be used.
    """

    is_in: bool = True
    signs: set[str] = field(default_factory=set)
    found: set[str] = field(default_factory=set)
    dressing: str | None = None
    is_off: bool = False
    put_on: datetime | None = None
    length: float | None = None
    stitches: int | None = None
    skin: str | None = None
    sets: dict[str, HungSet] | None = None
    needle_in: bool | None = None
    in_use: bool | None = None
    line_kind: str | None = None
    lumens: dict[str, str] = field(default_factory=dict)
    sensitivities: frozenset[str] | None = None
    insertion: dict[str, Any] | None = None
    done: dict[str, datetime] = field(default_factory=dict)
    is_held: bool = False
    born: str | None = None
    grams: float | None = None


def read_by_hand(rows: Iterable[Row], line: str, at: datetime) -> Read:
    """Return what the entries of a line and its child say of it at ``at`` (UTC)."""
    told = [row for row in rows if row.line in (None, line)]
    replaced = {row.corrects for row in told}
    counting = sorted(
        (
            row for row in told
            if row.id not in replaced and row.kind != "withdrawn" and row.at <= at
        ),
        key=lambda row: (row.at, row.id),
    )  # fmt: skip
    read = Read()
    for row in counting:
        _take(read, row)
    was_said = any(row.kind == "line-inserted" for row in told)
    is_said = any(row.kind == "line-inserted" for row in counting)
    read.is_in = read.is_in and (is_said or not was_said)
    read.is_held = _is_held(told, counting)
    return read


def _take(read: Read, row: Row) -> None:
    body = {key: value for key, value in row.body.items() if value is not None}
    {
        "line-inserted": _inserted, "dressing-change": _changed, "finding": _found,
        "re-cover": _covered, "set-change": _hung, "needle-change": _needled,
        "patency": _tried, "line-use": _used, "line-removed": _out,
        "sensitivities": _not_tolerated, "birth": _born, "weight": _weighed,
    }.get(row.kind, _nothing)(read, body, row)  # fmt: skip
    there, gone = signs_said(row.kind, body)
    read.signs = (read.signs - gone) | there
    if there & BROKEN:
        read.skin = "broken"
    elif gone >= BROKEN:
        read.skin = "intact"
    if row.kind != "line-inserted":
        read.length = body.get("external_length_mm", read.length)
        read.stitches = body.get("stitches", read.stitches)
    if row.kind in LOOKS:
        read.done["site-check"] = row.at
    if row.kind == "connector-change":
        read.done["connector"] = row.at
    if row.kind == "line-review":
        read.done["line-review"] = row.at


def signs_said(kind: str, body: dict[str, Any]) -> tuple[set[str], set[str]]:
    """Return the signs that an entry says are there, and those it says are gone.

    Only an explicit word ends one: healthy, whole, dry. What was found on the old
    dressing was found before the site was cleaned and looked at; what else the same
    entry says is there counts over any word that it is gone.
    """
    found = set[str]()
    if kind in ("dressing-change", "finding", "re-cover"):
        found = set(body.get("findings", ())) & UNDER_THE_DRESSING
    seen, healthy = _seen(kind, body), _said_healthy(kind, body)
    gone = set[str]().union(*_said_well(kind, body))
    if not seen & healthy:
        gone |= healthy
    there = (found - gone) | seen
    return there, gone - there


def _said_healthy(kind: str, body: dict[str, Any]) -> set[str]:
    if kind == "dressing-change" and body.get("site") == "healthy":
        return SITE | SKIN
    if kind == "site-check" and body.get("signs") == []:
        return EVERY_SIGN
    return set()


def _seen(kind: str, body: dict[str, Any]) -> set[str]:
    seen = set[str]()
    if kind in ("dressing-change", "re-cover", "line-removed", "site-check"):
        seen |= set(body.get("signs", ()))
    site = body.get("site") if kind == "dressing-change" else None
    seen |= {SITE_IN_ONE_WORD[site]} if site in SITE_IN_ONE_WORD else set()
    seen |= {"skin-broken"} if _skin(kind, body) == "broken" else set()
    if kind == "patency":
        seen |= {"no-blood-return"} if body.get("blood_return") == "none" else set()
        seen |= {"line-blocked"} if body.get("flush") == "blocked" else set()
    return seen


def _skin(kind: str, body: dict[str, Any]) -> str | None:
    return body.get({"skin": "state", "dressing-change": "skin"}.get(kind, ""))


def _said_well(kind: str, body: dict[str, Any]) -> list[set[str]]:
    """Return the signs that each word says are there no more."""
    said = [BROKEN] if _skin(kind, body) == "intact" else []
    well = body.get("well", ()) if kind == "site-check" else ()
    return said + [{"skin-whole": BROKEN, "dry": DRY_ENDS}[word] for word in well]


def _nothing(read: Read, body: dict[str, Any], row: Row) -> None:
    del read, body, row


def _inserted(read: Read, body: dict[str, Any], row: Row) -> None:
    read.insertion, read.line_kind = body, body.get("kind")
    read.length, read.stitches = body.get("external_length_mm"), body.get("stitches")
    read.dressing, read.put_on, read.found = body.get("dressing"), None, set()
    read.is_off = False
    if read.dressing is not None:
        read.put_on = row.at


def _changed(read: Read, body: dict[str, Any], row: Row) -> None:
    read.dressing, read.put_on, read.found = body.get("dressing"), row.at, set()
    read.is_off = False


def _found(read: Read, body: dict[str, Any], row: Row) -> None:
    del row
    read.found |= set(body.get("findings", ())) - UNDER_THE_DRESSING


def _covered(read: Read, body: dict[str, Any], row: Row) -> None:
    """Take in a cover for now: the dressing had come off, and stays due."""
    _found(read, body, row)
    read.found.add("loose")


def _hung(read: Read, body: dict[str, Any], row: Row) -> None:
    """Take in a set; one whose infusion was stopped is still connected."""
    sets = {} if read.sets is None else read.sets
    name, doing = body.get("set") or "main", body.get("doing", "changed")
    if doing == "down":
        sets.pop(name, None)
    elif doing == "stopped":
        hung = sets.setdefault(name, HungSet(body.get("kind")))
        kinds = {hung.kind, body.get("kind")} - {None}
        hung.kind = kinds.pop() if len(kinds) == 1 else None
    else:
        sets[name] = HungSet(body.get("kind"), row.at)
        # A set that hangs is used, and on a port there is a needle to hang it on.
        read.in_use = True if read.in_use is False else read.in_use
        read.needle_in = read.needle_in or None
        read.is_off = False
    read.sets = sets


def _needled(read: Read, body: dict[str, Any], row: Row) -> None:
    read.needle_in = body.get("doing", "changed") != "out"
    read.is_off = not read.needle_in
    if read.needle_in:
        read.done["port-needle"] = row.at
    else:
        # The dressing that held it comes off with it.
        read.dressing, read.put_on, read.found = None, None, set()


def _used(read: Read, body: dict[str, Any], row: Row) -> None:
    del row
    read.in_use = body.get("in_use", read.in_use)
    if body.get("in_use") is False:
        read.sets = {}


def _tried(read: Read, body: dict[str, Any], row: Row) -> None:
    """Take in how a lumen runs: one that is open excuses no other that is blocked."""
    del row
    blood, flush = body.get("blood_return"), body.get("flush")
    if flush == "blocked":
        how = "blocked"
    elif blood == "none":
        how = "no-return"
    elif blood == "sluggish" or flush == "stiff":
        how = "sluggish"
    elif (blood, flush) == ("yes", "easy"):
        how = "open"
    else:
        return
    read.lumens[body.get("lumen") or ""] = how
    ways = set(read.lumens.values())
    read.signs -= set() if "blocked" in ways else {"line-blocked"}
    read.signs -= set() if ways & {"blocked", "no-return"} else {"no-blood-return"}


def _out(read: Read, body: dict[str, Any], row: Row) -> None:
    del body, row
    read.is_in = False


def _not_tolerated(read: Read, body: dict[str, Any], row: Row) -> None:
    """Take in what is not tolerated; the walk names substances by their plain words."""
    del row
    if "known" not in body and not body.get("other"):
        read.sensitivities = None
        return
    others = {one["substance"].lower() for one in body.get("other", ())}
    read.sensitivities = frozenset(body.get("known", ())) | others


def _born(read: Read, body: dict[str, Any], row: Row) -> None:
    del row
    read.born = body.get("born")


def _weighed(read: Read, body: dict[str, Any], row: Row) -> None:
    del row
    read.grams = body.get("g", read.grams)


def _is_held(told: Sequence[Row], counting: Sequence[Row]) -> bool:
    """Return whether something was seen that stops the line, and nobody closed it.

    That the sign is gone does not open the line again: a person does.
    """
    before = {row.id: row.corrects for row in told}
    bodies = {row.id: row for row in told}
    closings = [row for row in counting if row.kind == "concern-closed"]
    for row in counting:
        if row.line is None:
            continue
        for sign in _holding(row):
            first = row.id
            while (earlier := before[first]) is not None:
                if sign not in _holding(bodies[earlier]):
                    break
                first = earlier
            rule = HOLDS[sign]
            if not any(
                one.id > first and one.body["concern"].partition(":")[0] == rule
                for one in closings
            ):
                return True
    return False


def _holding(row: Row) -> set[str]:
    body = {key: value for key, value in row.body.items() if value is not None}
    return signs_said(row.kind, body)[0] & HOLDS.keys()
