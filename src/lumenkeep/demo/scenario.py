"""The demo scenario: one hospital, three wards, ninety days, from a fixed seed.

Everything counts back from the instant it is made for; the same seed and instant
give the same hospital to the last entry.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from random import Random
from typing import TYPE_CHECKING

from lumenkeep.core.model.times import utc
from lumenkeep.demo.chronicle import (
    Chronicle,
    DraftEntry,
    leave_reasons_open,
    let_some_come_late,
)
from lumenkeep.demo.concerns import tell_concerns
from lumenkeep.demo.earlier import birth_weights, earlier
from lumenkeep.demo.guided import tell_guides
from lumenkeep.demo.hospital import (
    POLICY_SET,
    STAFF,
    WARDS,
    DemoChild,
    DemoLine,
    Hospital,
    staff_of,
)
from lumenkeep.demo.infections import settle_infections, tell_infections
from lumenkeep.demo.life import live_child
from lumenkeep.demo.ordinary import HOW_MANY, ordinary
from lumenkeep.demo.stories import stories

if TYPE_CHECKING:
    from lumenkeep.demo.told import ToldChild

SEED = "quillmere-1"
NAMES = (
    "Acorn", "Alder", "Almond", "Apple", "Ash", "Aspen", "Barley", "Basil", "Bay",
    "Beech", "Birch", "Bracken", "Bramble", "Briar", "Burdock", "Cedar", "Cherry",
    "Chestnut", "Clover", "Cress", "Cypress", "Daisy", "Dill", "Dogwood", "Elder",
    "Elm", "Fennel", "Fern", "Fig", "Fir", "Flax", "Gorse", "Hazel", "Heather",
    "Hemlock", "Holly", "Hop", "Hornbeam", "Ivy", "Juniper", "Larch", "Laurel",
    "Lichen", "Lime", "Linden", "Lupin", "Maple", "Meadow", "Medlar", "Mint", "Moss",
    "Myrtle", "Nettle", "Oak", "Oat", "Olive", "Pear", "Pine", "Plum", "Poplar",
    "Quince", "Reed", "Rowan", "Rush", "Rye", "Sage", "Sedge", "Sorrel", "Spruce",
    "Tansy", "Teasel", "Thistle", "Thyme", "Vetch", "Whin", "Yarrow", "Yew",
)  # fmt: skip
KEY_BITS = 40


def scenario(now: datetime, seed: str = SEED) -> Hospital:
    """Return the whole invented hospital as of ``now``.

    Parameters
    ----------
    now
        The present of the scenario (any zone); nothing in it happens later.
    seed
        Another seed gives other ordinary children; the stories stay.
    """
    now = utc(now).replace(second=0, microsecond=0)
    rng = Random(seed)  # noqa: S311  invented children need no secrecy
    told = stories(now)
    for ward, count in HOW_MANY.items():
        own = Random(f"{seed}/{ward}")  # noqa: S311
        told += [ordinary(own, ward, now) for _ in range(count)]
    names = rng.sample(NAMES, len(told))
    beds = _beds(rng, told)
    chronicle = Chronicle(now)
    children, lines = [], []
    notes: dict[str, list[DraftEntry]] = {}
    for position, child in enumerate(told):
        key = f"c-{rng.getrandbits(KEY_BITS):010x}"
        line_keys = tuple(f"l-{rng.getrandbits(KEY_BITS):010x}" for _ in child.lines)
        children.append(DemoChild(key, f"Demo {names[position]}"))
        lines += [DemoLine(line_key, key) for line_key in line_keys]
        own = Random(f"{seed}/{child.story or position}")  # noqa: S311
        notes |= live_child(chronicle, own, child, key, line_keys, beds[position])
    _mend(chronicle, rng, list(notes.values()))
    leave_reasons_open(chronicle, seed)
    tell_guides(chronicle, seed)
    let_some_come_late(chronicle, seed)
    by_story = {c.story: key.key for c, key in zip(told, children, strict=True)}
    staff = {child.story: staff_of(child.ward)[0] for child in told}
    inserted = [(key, own[0].child, own[0].happened_at) for key, own in notes.items()]
    infections = tell_infections(chronicle, seed, by_story, staff, inserted)
    pairs = [(own.key, one) for own, one in zip(children, told, strict=True)]
    birth_weights(chronicle, seed, pairs)
    past_children, past_lines = earlier(chronicle, seed, NAMES, infections)
    children, lines = [*children, *past_children], [*lines, *past_lines]
    stories_of = {
        one.story: tuple(n for n, line in notes.items() if line[0].child == own.key)
        for own, one in zip(children, told, strict=False)
        if one.story
    }
    acts = tell_concerns(
        chronicle,
        seed,
        stories_of,
        {own.key: one.ward for own, one in zip(children, told, strict=False)},
    )
    entries = chronicle.entries(POLICY_SET)
    acts.name_them()
    settle_infections(infections, entries, {ward.key: ward.zone for ward in WARDS})
    return Hospital(WARDS, STAFF, tuple(children), tuple(lines), entries)


def _beds(rng: Random, told: list[ToldChild]) -> list[str]:
    """Return a bed for each child, no two of a ward the same."""
    free = {
        ward.key: [f"{number:02}" for number in range(1, len(told) + 1)]
        for ward in WARDS
    }
    per_ward = {key: sum(c.ward == key for c in told) for key in free}
    for key, beds in free.items():
        free[key] = beds[: per_ward[key]]
        rng.shuffle(free[key])
    return [free[child.ward].pop() for child in told]


def _mend(chronicle: Chronicle, rng: Random, lines: list[list[DraftEntry]]) -> None:
    """Turn some entries into slips that were put right, as on any real chart."""
    lengths = [
        note
        for notes in lines
        for note in notes
        if note.kind == "dressing-change" and note.body.get("external_length_mm")
    ]
    for note in rng.sample(lengths, 6):
        right = note.body["external_length_mm"]
        note.body["external_length_mm"] = right * 10  # centimetres typed as if mm
        chronicle.correct(note, timedelta(minutes=12), external_length_mm=right)
    weights = [n for n in chronicle.notes if n.kind == "weight" and n.corrects is None]
    for note in rng.sample(weights, 4):
        right = note.body["g"]
        note.body["g"] = right * 10
        chronicle.correct(note, timedelta(minutes=25), g=right)
    checks = [n for notes in lines for n in notes if n.kind == "site-check"]
    for note in rng.sample(checks, 3):
        wrong = replace(note, kind="finding", body={"findings": ["damp"]})
        chronicle.notes.append(wrong)
        chronicle.withdraw(wrong, timedelta(minutes=6), "charted on the wrong child")
