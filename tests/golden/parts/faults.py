"""Faulty files, and the exact words in which each is refused."""

from __future__ import annotations

import copy
import json
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.golden.folder import slug
from tests.golden.parts.commands import AT, BABY, CHART, DRESSINGS, SIX, TIMELINES, run

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from tests.golden.folder import Folder

Place = tuple[str | int, ...]
ODD: tuple[Any, ...] = ("nonsense", -1, None, [], {}, True, 1e9, "", "2999-01-01")


def write(folder: Folder) -> None:
    """Write what is said of each faulty file, a part of the product in a file."""
    due = ["due", "-", "--at", AT]
    for case in (BABY, SIX):
        folder.text(f"faults/{slug(Path(case).name)}.txt", _of_case(case, due))
    for timeline in TIMELINES:
        said = _of_value(_read(timeline), ["determine", "-"], single=True)
        folder.text(f"faults/{slug(Path(timeline).name)}.txt", said)
    folder.text("faults/chart-file.txt", _of_chart())
    folder.text("faults/dressings.txt", _of_dressings())
    folder.text("faults/arguments.txt", _of_arguments())
    folder.text("faults/policies.txt", _of_policies())


def _read(path: str) -> Any:
    text = Path(path).read_text("utf-8")
    if path.endswith(".json"):
        return json.loads(text)
    return json.loads(
        json.dumps(tomllib.loads(text), default=lambda at: at.isoformat())
    )


def _of_case(path: str, words: list[str]) -> str:
    return _of_value(_read(path), words, single=path == BABY)


def _of_value(value: Any, words: list[str], *, single: bool) -> str:
    """Return what is said of a value with each of its parts made faulty.

    First all parts in one way at once, since all faults of a file are told together;
    then, for a ``single``, one part at a time.
    """
    said = [
        f"# every part {json.dumps(odd)}\n{_ask(words, _all(value, odd))}"
        for odd in ODD
    ]
    said.append(f"# a key too many everywhere\n{_ask(words, _more_keys(value))}")
    said += [
        f"# without {_named(place)}\n{_ask(words, _without(value, place))}"
        for place in _places(value)
        if len(place) <= (2 if single else 1)
    ]
    if single:
        said += [
            f"# {_named(place)} is {json.dumps(odd)}\n{_ask(words, _with(value, place, odd))}"
            for place in _places(value)
            for odd in ("nonsense",)
        ]
    said += [f"# {word}\n{run(words, text)}" for word, text in (
        ("nothing", ""), ("no JSON", "{"), ("a list", "[]"), ("a number", "7"),
    )]  # fmt: skip
    return "\n".join(said)


def _ask(words: list[str], value: Any) -> str:
    return run(words, json.dumps(value, ensure_ascii=False))


def _named(place: Place) -> str:
    return ".".join(map(str, place))


def _places(value: Any, before: Place = ()) -> Iterator[Place]:
    items = (
        value.items() if isinstance(value, dict)
        else enumerate(value) if isinstance(value, list) else ()
    )  # fmt: skip
    for key, inner in items:
        yield (*before, key)
        yield from _places(inner, (*before, key))


def _all(value: Any, odd: Any) -> Any:
    """Return a value with every leaf replaced."""
    if isinstance(value, dict) and value:
        return {key: _all(inner, odd) for key, inner in value.items()}
    if isinstance(value, list) and value:
        return [_all(inner, odd) for inner in value]
    return odd


def _more_keys(value: Any) -> Any:
    if isinstance(value, dict):
        return {
            **{key: _more_keys(inner) for key, inner in value.items()},
            "odd_key": 1,
        }
    return [_more_keys(inner) for inner in value] if isinstance(value, list) else value


def _changed(value: Any, place: Place, change: Callable[[Any, Any], None]) -> Any:
    whole = copy.deepcopy(value)
    inner = whole
    for key in place[:-1]:
        inner = inner[key]
    change(inner, place[-1])
    return whole


def _without(value: Any, place: Place) -> Any:
    return _changed(value, place, lambda inner, key: inner.pop(key))


def _with(value: Any, place: Place, odd: Any) -> Any:
    def put(inner: Any, key: Any) -> None:
        inner[key] = odd

    return _changed(value, place, put)


def _of_chart() -> str:
    """Return what is said of a chart file with each of its entries made faulty."""
    words = ["chart", "read", "-", "--at", AT]
    entries = [json.loads(line) for line in Path(CHART).read_text("utf-8").splitlines()]
    tries: list[tuple[str, list[Any]]] = [
        (f"every part {json.dumps(odd)} but the kind", [
            {**_all(one, odd), "kind": one["kind"]} for one in entries
        ])
        for odd in ODD
    ]  # fmt: skip
    tries += [
        (f"every body {json.dumps(odd)} in each part", [
            {**one, "body": _all(one["body"], odd)} for one in entries
        ])
        for odd in ODD
    ]  # fmt: skip
    tries.append(("a key too many", [_more_keys(one) for one in entries]))
    tries.append(("empty bodies", [{**one, "body": {}} for one in entries]))
    tries.append(("twice", [*entries, *entries]))
    tries.append(("backwards", entries[::-1]))
    tries += [
        (f"without {key}", [_less(one, key) for one in entries]) for key in entries[0]
    ]
    said = [
        f"# {name}\n{run(words, ''.join(json.dumps(one) + chr(10) for one in tried))}"
        for name, tried in tries
    ]
    return "\n".join(
        [*said, f"# no JSON\n{run(words, '{')}", f"# nothing\n{run(words, '')}"]
    )


def _less(one: dict[str, Any], key: str) -> dict[str, Any]:
    return {name: value for name, value in one.items() if name != key}


def _of_dressings() -> str:
    words = ["dressing-life", "-"]
    text = Path(DRESSINGS).read_text("utf-8")
    head = text.splitlines()[0]
    tries = {
        "nothing": "",
        "a head alone": head + "\n",
        "a word for every number": "\n".join(
            [head, *(["x," * head.count(",") + "x"] * 3)]
        ),
        "a row too short": f"{head}\n1\n",
        "another head": text.replace(head, "a,b"),
        "a negative number": text.replace("\n", "\n-", 3),
    }
    return "\n".join(f"# {name}\n{run(words, tried)}" for name, tried in tries.items())


def _of_arguments() -> str:
    tries = (
        ["plan", "no-such-file.json"],
        ["plan", BABY, "--at", "yesterday"],
        ["plan", BABY, "--at", "2026-11-24T08:00:00"],
        ["plan", BABY, "--at", "2020-01-01T00:00:00Z"],
        ["plan", BABY, "--policy", "nowhere"],
        ["plan", BABY, "--policy", "published"],
        ["due", SIX, "--at", "2019-11-24T08:00:00Z"],
        ["chart", "read", "no-such-file.jsonl"],
        ["chart", "read", CHART, "--zone", "Nowhere/Land"],
        ["determine", "no-such-file.json"],
        ["dressing-life", "no-such-file.csv"],
        ["dressing-life", DRESSINGS, "--day", "-1"],
        ["prove", "nowhere"],
        ["prove", "published"],
        ["compare", "nowhere", "quillmere"],
        ["policy", "check", "nowhere"],
        ["rehearse", "nowhere"],
    )
    return "\n".join(run(words) for words in tries)


def _of_policies() -> str:
    """Return what is said of every broken set of the tests, wherever they lie."""
    found = sorted(
        Path("tests").rglob("broken/*/faults.txt"), key=lambda path: path.parent.name
    )
    assert found
    return "\n".join(
        run(["policy", "read", str(path.parent)]).replace(
            f"{path.parent.parent}/", "<broken>/"
        )
        for path in found
    )
