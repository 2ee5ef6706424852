"""A body is checked against its kind: what is known is taken, what means nothing told."""

from __future__ import annotations

from typing import Any

import pytest

from lumenkeep.core.entries import Field, every_kind, kind_of
from lumenkeep.core.entries.answers import YesNo
from lumenkeep.core.entries.check import check_body
from lumenkeep.core.model.reading import Reader
from lumenkeep.core.policy.files import world_bounds

SPANS = {id_: bound.span for id_, bound in world_bounds().items()}


def faults(kind: str, body: dict[str, Any], *also: Field) -> list[tuple[str, str]]:
    """Return code and key of each fault of a body."""
    found: list[Any] = []
    of = kind_of(kind)
    assert of is not None
    check_body(of, Reader(body, "x: ", found, "chart-file"), SPANS, also)
    return [(one.code, one.where.removeprefix("x: ")) for one in found]


@pytest.mark.parametrize("kind", sorted(every_kind()))
def test_every_key_may_be_absent_or_null(kind: str) -> None:
    of = kind_of(kind)
    assert of is not None

    assert faults(kind, {}) == []
    assert faults(kind, dict.fromkeys(of.keys)) == []


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("dressing-change", {"site": "a little warm", "arm": "over the head"}),
        (
            "dressing-change",
            {"agent": "an-agent-of-old", "tolerance": "", "stitches": 2},
        ),
        ("dressing-change", {"external_length_mm": 600, "stitches": 2.0}),
        ("sensitivities", {"known": ["penicillin"]}),
        ("sensitivities", {"known": [], "other": [{"substance": "milk"}]}),
        ("site-check", {"signs": [], "well": ["dry"], "grades": {"any scale": 2}}),
        ("line-removed", {"reason": "came out in the night", "whole": False}),
        ("line-inserted", {"kind": "umbilical-venous", "site": "femoral"}),
        ("line-inserted", {"kind": "picc", "tunnelled": True}),
        ("birth", {"born": "2026-11-20", "gestation": "27w"}),
        ("birth", {"born": "2026-11-20T08:00:00-06:00", "gestation": "27w3d"}),
        ("gut", {"grade": 2, "mass_kg": 0.15}),
        ("other-infection", {"window": ["2026-11-20", "2026-11-20"], "organisms": []}),
        ("specimen-result", {"specimen": 4}),
        ("withdrawn", {"because": "wrong child"}),
    ],
)
def test_what_a_chart_can_hold_is_taken(kind: str, body: dict[str, Any]) -> None:
    assert faults(kind, body) == []


@pytest.mark.parametrize(
    ("kind", "body", "code", "key"),
    [
        ("weight", {"grams": 900}, "unknown-key", "grams"),
        ("weight", {"g": "900"}, "wrong-kind", "g"),
        ("weight", {"g": True}, "wrong-kind", "g"),
        ("weight", {"g": 90}, "impossible", "g"),
        ("weight", {"g": float("nan")}, "wrong-kind", "g"),
        ("weight", {"g": 10**400}, "wrong-kind", "g"),
        ("weight", {"g": [900]}, "wrong-kind", "g"),
        ("dressing-change", {"external_length_mm": 1650}, "impossible", "external_length_mm"),
        ("dressing-change", {"stitches": 1.5}, "wrong-kind", "stitches"),
        ("dressing-change", {"because": "whim"}, "unknown-word", "because"),
        ("dressing-change", {"skin": "brokn"}, "unknown-word", "skin"),
        ("dressing-change", {"guide": "run-1"}, "wrong-kind", "guide"),
        ("dressing-change", {"noted": ["x"]}, "wrong-kind", "noted[0]"),
        ("finding", {"findings": "damp"}, "wrong-kind", "findings"),
        ("finding", {"findings": ["damp", "wett"]}, "unknown-word", "findings[1]"),
        ("finding", {"findings": [None]}, "unknown-word", "findings[0]"),
        ("finding", {"note": 7}, "wrong-kind", "note"),
        ("finding", {"note": "x" * 2001}, "text-too-long", "note"),
        ("sensitivities", {"other": ["latex"]}, "wrong-kind", "other[0]"),
        ("sensitivities", {"other": [{"severity": "mild"}]}, "missing", "other[0].substance"),
        ("sensitivities", {"other": [{"substance": "x", "y": 1}]}, "unknown-key", "other[0].y"),
        ("sensitivities", {"known": [" "]}, "wrong-kind", "known[0]"),
        ("site-check", {"grades": [1]}, "wrong-kind", "grades"),
        ("site-check", {"grades": {"a": -1}}, "impossible", "grades.a"),
        ("site-check", {"signs": ["healthy"]}, "none-as-a-word", "signs[0]"),
        ("line-use", {"in_use": "no"}, "wrong-kind", "in_use"),
        ("birth", {"born": "2026-11-20T08:00"}, "wrong-kind", "born"),
        ("birth", {"born": " 2026-11-20"}, "wrong-kind", "born"),
        ("birth", {"born": "2026-02-30"}, "wrong-kind", "born"),
        ("birth", {"born": 20261120}, "wrong-kind", "born"),
        ("birth", {"gestation": "27w9d"}, "wrong-kind", "gestation"),
        ("birth", {"gestation": 27}, "wrong-kind", "gestation"),
        ("birth", {"gestation": "9w0d"}, "impossible", "gestation"),
        ("gut", {"grade": "2"}, "wrong-kind", "grade"),
        ("gut", {"grade": 9}, "impossible", "grade"),
        ("transplant", {"on": "2026-11-20T08:00"}, "wrong-kind", "on"),
        ("other-infection", {"window": ["2026-11-20"]}, "wrong-kind", "window"),
        ("other-infection", {"window": ["2026-11-21", "2026-11-20"]}, "wrong-kind", "window"),
        ("other-infection", {"organisms": "E. coli"}, "wrong-kind", "organisms"),
        ("specimen-result", {"specimen": "4"}, "wrong-kind", "specimen"),
        ("blood-count", {"per_mm3": -1}, "wrong-kind", "per_mm3"),
        ("concern-closed", {"outcome": "dunno"}, "unknown-word", "outcome"),
        ("concern-closed", {"label": 3}, "wrong-kind", "label"),
    ],
)  # fmt: skip
def test_what_means_nothing_is_a_fault(
    kind: str, body: dict[str, Any], code: str, key: str
) -> None:
    assert faults(kind, body) == [(f"chart-file-{code}", key)]


def test_every_fault_of_a_body_comes_at_once() -> None:
    body = {"findings": ["wett"], "note": 1, "knote": "x"}

    assert [key for _, key in faults("finding", body)] == [
        "findings[0]",
        "note",
        "knote",
    ]


def test_a_near_word_is_named() -> None:
    found: list[Any] = []
    kind = kind_of("dressing-change")
    assert kind is not None
    check_body(kind, Reader({"dressing": "guaze"}, "x: ", found, "chart-file"), SPANS)

    assert found[0].mend.startswith("did you mean 'gauze'?")


def test_a_field_of_the_policy_is_a_known_key() -> None:
    own = Field("smell", "Does it smell?", YesNo(), from_policy="chart-smell")

    assert faults("dressing-change", {"smell": True}, own) == []
    assert faults("dressing-change", {"smell": 2}, own) == [
        ("chart-file-wrong-kind", "smell")
    ]
    assert faults("dressing-change", {"smell": True}) == [
        ("chart-file-unknown-key", "smell")
    ]
