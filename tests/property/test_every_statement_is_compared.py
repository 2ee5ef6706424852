"""No statement of a set can be lost or altered unseen by a comparison."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, fields, replace
from datetime import date
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from lumenkeep.core.asepsis.procedure import Bedside
from lumenkeep.core.asepsis.read import ROWS
from lumenkeep.core.comparing import kinds
from lumenkeep.core.comparing.changes import changes_between
from lumenkeep.core.comparing.compare_policies import not_compared
from lumenkeep.core.policy import Policy, load_policy
from lumenkeep.core.policy.archive import policy_from_texts, set_texts
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.core.policy.policy import FIELD_OF_KIND
from lumenkeep.core.policy.read import NAMED_TABLES
from lumenkeep.core.policy.read_rules import KINDS
from lumenkeep.core.policy.write import file_text
from lumenkeep.errors import PolicyError

if TYPE_CHECKING:
    from collections.abc import Iterator

DAY = date(2026, 11, 30)
SAMPLE = 12
SHARED_PART = "part"
"""The head of a file of shared steps; its steps stand in the procedures that name it."""


@dataclass(frozen=True)
class Place:
    """Where a statement stands: layer, file, key, and its name or number there."""

    layer: str
    file: str
    key: str
    name: Any


def every_place(base: str) -> Iterator[Place]:
    for layer in set_texts(base):
        for file, text in layer.files:
            for key, rows in tomllib.loads(text).items():
                if key in ("set", "procedure", SHARED_PART):
                    yield Place(layer.name, file, key, None)
                else:
                    names = rows if isinstance(rows, dict) else range(len(rows))
                    yield from (Place(layer.name, file, key, name) for name in names)


def otherwise(base: str, place: Place, *, dropped: bool) -> Policy | None:
    """Return the set with one statement dropped or altered; None if it is refused."""
    layers = []
    for layer in set_texts(base):
        files = dict(layer.files)
        if layer.name == place.layer:
            tables = tomllib.loads(files[place.file])
            if dropped:
                _drop(tables, place)
            else:
                _alter(_row(tables, place))
            files[place.file] = file_text(tables)
        layers.append(replace(layer, files=tuple(sorted(files.items()))))
    try:
        return policy_from_texts(layers)
    except PolicyError:
        return None


def _row(tables: dict[str, Any], place: Place) -> dict[str, Any]:
    return tables[place.key] if place.name is None else tables[place.key][place.name]


def _drop(tables: dict[str, Any], place: Place) -> None:
    if place.name is None:
        del tables[place.key]
    else:
        del tables[place.key][place.name]


def _alter(row: dict[str, Any]) -> None:
    """Change one thing that the statement says: a value, else a sentence."""
    for key in ("values", "because", "title", "says", "label", "source"):
        if key == "values" and key in row:
            value = row["values"][0]["value"]
            row["values"][0]["value"] = "30w1d" if isinstance(value, str) else value + 1
            return
        if key in row:
            row[key] += " Otherwise."
            return


def is_told(base: str, place: Place, *, dropped: bool) -> bool | None:
    """Return whether a change is told; None where no set can be so."""
    policy = otherwise(base, place, dropped=dropped)
    if policy is None:
        return None
    try:
        return bool(changes_between(load_policy(base), policy, DAY))
    except PolicyError:  # the procedures name what is gone
        return None


def does_not_count(base: str, place: Place) -> bool:
    """Return whether another statement stands for it, or the set takes it out.

    A comparison says that it does not look at these.
    """
    id_ = _id(base, place)
    others = [one for one in every_place(base) if one.key == place.key]
    same = [one for one in others if one != place and _id(base, one) == id_]
    removed = {
        gone
        for layer in set_texts(base)
        for _, text in layer.rules
        for gone in tomllib.loads(text).get("set", {}).get("remove", ())
    }
    return bool(same) or id_ in removed


def _id(base: str, place: Place) -> str | None:
    text = next(
        dict(one.files)[place.file]
        for one in set_texts(base)
        if one.name == place.layer
    )
    if isinstance(place.name, str) or place.name is None:
        return place.name
    row = tomllib.loads(text)[place.key][place.name]
    return str(row.get("id", row.get("item")))


@pytest.mark.parametrize("dropped", [True, False])
@pytest.mark.parametrize("base", ["quillmere", "uk-guideline", "us-guideline"])
def test_no_statement_is_lost_or_altered_unseen(base: str, dropped: bool) -> None:
    drawn = Random(f"{base} {dropped}")  # noqa: S311  which statements, always the same
    places = [one for one in every_place(base) if one.key != SHARED_PART]
    tried = 0
    for place in drawn.sample(places, len(places)):
        told = is_told(base, place, dropped=dropped)
        assert told is not False or does_not_count(base, place), f"{place} unseen"
        tried += told is True
        if tried == SAMPLE:
            break
    assert tried == SAMPLE
    assert any("same id" in line for line in not_compared())


def test_every_kind_that_a_file_can_hold_is_known_and_named() -> None:
    """A new kind of statement that nobody compares fails here."""
    known = set(kinds.kinds_of_statement())

    assert {*KINDS, *NAMED_TABLES, *ROWS} <= known
    assert set(kinds.KIND_WORDS) == known
    assert not list(kinds.kinds_not_compared())


def test_the_shipped_files_hold_no_other_kind() -> None:
    held = {
        key
        for path in SHIPPED_FOLDER.rglob("*.toml")
        for key in tomllib.loads(path.read_text(encoding="utf-8"))
    }

    assert held <= {*kinds.kinds_of_statement(), SHARED_PART}


def test_a_kind_without_a_name_is_named_as_not_compared(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    words = {kind: said for kind, said in kinds.KIND_WORDS.items() if kind != "note"}
    monkeypatch.setattr(kinds, "KIND_WORDS", words)

    assert "statements of the kind 'note'" in list(not_compared())


def test_every_part_of_a_set_as_read_is_of_a_kind() -> None:
    """What is read from a file into a new field would not be compared."""
    of_policy = {
        "id", "title", "version", "abstract", "call", "antiseptics", "dressings",
        "digest", "folder", "own_sources", "sources", "numbers", "agents", "bounds",
        "written", "procedures", "loosened", *FIELD_OF_KIND.values(),
        # Worked out from what was read, and from the core that is one for all.
        "removed", "base", "references", "core",
    }  # fmt: skip
    of_bedside = {
        "procedures", "items", "rules", "slips", "moves", "room", "numbers", "sources",
        "safe", "needed", "heads", "kinds",
        # In which file a step lies, and what of the core was put in.
        "parts", "of_core",
    }  # fmt: skip

    assert {one.name for one in fields(Policy)} == of_policy
    assert {one.name for one in fields(Bedside)} == of_bedside
