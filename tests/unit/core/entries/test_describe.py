"""What a chart file may hold is described from the registry, and from nothing else."""

from __future__ import annotations

from lumenkeep.core.entries import CHILD, LINE, Field, Kind, every_kind
from lumenkeep.core.entries.answers import Count, Word
from lumenkeep.core.entries.describe import TYPES, describe_field, describe_kinds
from lumenkeep.core.entries.kind import Task
from lumenkeep.core.entries.registry import with_kinds

SPANS = {"lumens": (1.0, 6.0)}


def test_every_kind_and_every_key_is_described() -> None:
    found = {one["id"]: one for one in describe_kinds(SPANS, {})}

    assert list(found) == list(every_kind())
    for kind in every_kind().values():
        assert [one["key"] for one in found[kind.id]["fields"]] == list(kind.keys)


def test_a_made_up_kind_is_described_whole() -> None:
    made = Kind(
        "flush",
        "Port flushed",
        LINE,
        (
            Field(
                "how",
                "How it went",
                Word({"easy": "Easily", "red": "It turned red"}),
                required=True,
                sets="line.flushed_how",
                begins={"red": ("red",)},
            ),
            Field("lumens", "How many lumens", Count("lumens")),
        ),
        task=Task("flush", "Flush", "line.flushed"),
    )
    with with_kinds(made):
        found = next(k for k in describe_kinds(SPANS, {}) if k["id"] == "flush")

    assert found["task"] == {"task": "flush", "label": "Flush", "fact": "line.flushed"}
    assert (found["sets"], found["begins"], found["ends"]) == (
        ["line.flushed_how"], ["red"], [],
    )  # fmt: skip
    how, lumens = found["fields"]
    assert how["words"] == {"easy": "Easily", "red": "It turned red"}
    assert (how["type"], how["required"], how["begins"]) == (
        "word", True, {"red": ["red"]},
    )  # fmt: skip
    assert lumens["limits"] == {"low": 1, "high": 6}


def test_a_kind_says_whom_it_is_about() -> None:
    about = {one["id"]: one["about"] for one in describe_kinds(SPANS, {})}

    assert (about["birth"], about["site-check"]) == (CHILD, LINE)


def test_what_the_policy_adds_is_described_with_its_kind() -> None:
    own = Field("smell", "Does it smell?", Count(), from_policy="chart-smell")
    found = {one["id"]: one for one in describe_kinds(SPANS, {"finding": (own,)})}

    assert found["finding"]["fields"][-1] == describe_field(own, SPANS)


def test_every_way_of_answering_has_a_name() -> None:
    used = {type(f.answer) for kind in every_kind().values() for f in kind.fields}

    assert used <= set(TYPES)
