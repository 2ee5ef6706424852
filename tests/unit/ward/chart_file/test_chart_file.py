"""A chart file is read whole or not at all, with every fault told in one go."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from tests.fakes.chart_lines import NEEDED, read, row, text_of

from lumenkeep.core.entries.references import renumbered
from lumenkeep.core.policy import load_policy
from lumenkeep.errors import InputError
from lumenkeep.ward.chart_file.bounds import bounds_of
from lumenkeep.ward.chart_file.chart_file import chart_file_line, read_chart_file
from lumenkeep.ward.chart_file.lines import LONGEST_LINE, MOST_FAULTS


def faults_of(*rows: Any) -> list[tuple[str, str]]:
    """Return code and place of each fault of a file with these rows."""
    return faults_of_bytes(text_of(*rows).encode())


def faults_of_bytes(raw: bytes) -> list[tuple[str, str]]:
    try:
        read_chart_file(io.BytesIO(raw), "x.jsonl", bounds_of(load_policy("quillmere")))
    except InputError as error:
        return [(f.code.removeprefix("chart-file-"), f.where) for f in error.faults]
    return []


LOOK = row(2, "site-check", {"signs": ["red"]})


def test_an_entry_is_read_as_it_was_written() -> None:
    policy = {"set": "quillmere", "version": "2026 a", "digest": "abc"}
    one = row(7, "finding", {"findings": ["damp"]}, policy=policy)
    one["written_at"] = "2026-11-20T03:30:00.5-06:00"

    (entry,) = read(one)

    assert entry.policy == "quillmere 2026 a abc"
    assert json.loads(chart_file_line(entry)) == {
        **one,
        "happened_at": "2026-11-20T08:00:00+00:00",
        "written_at": "2026-11-20T09:30:00.500000+00:00",
    }


def test_what_is_not_said_to_be_written_later_was_written_at_once() -> None:
    (entry,) = read(LOOK)

    assert entry.written_at == entry.happened_at


def test_ids_order_the_entries_wherever_their_lines_stand() -> None:
    rows = [row(id_, "finding", {}) for id_ in (5, 0, 9, 3)]

    assert [entry.id for entry in read(*rows)] == [0, 3, 5, 9]


def test_a_correction_may_stand_before_what_it_corrects_and_have_the_smaller_id() -> (
    None
):
    assert len(read(row(1, "site-check", {}, corrects=2), LOOK)) == 2


@pytest.mark.parametrize("key", NEEDED)
def test_a_key_that_must_be_there_is_missed(key: str) -> None:
    one = {name: value for name, value in LOOK.items() if name != key}

    with pytest.raises(InputError) as caught:
        read(one)
    faults = caught.value.faults

    assert "chart-file-missing" in {fault.code for fault in faults}
    assert not any("()" in fault.mend for fault in faults)


def test_a_missing_id_says_what_to_add() -> None:
    with pytest.raises(InputError) as caught:
        read({name: value for name, value in LOOK.items() if name != "id"})

    assert caught.value.faults[0].mend == "add a whole number"


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b"", "empty"),
        (b"\n \n", "empty"),
        (b"\xef\xbb\xbf\n", "empty"),
        (b"[]\n", "no-entry"),
        (b"[\n]\n", "not-readable"),
        (b"3\n", "no-entry"),
        (b"null\n", "no-entry"),
        (b"{\n", "not-readable"),
        (b"\xff\xfe{}\n", "not-readable"),
        (b'{"a": NaN}\n', "not-readable"),
        (b'{"a": 1e999}\n', "not-readable"),
        (b'{"a": ' + b"9" * 5000 + b"}\n", "not-readable"),
        (b'{"a": 1, "a": 2}\n', "not-readable"),
        (b'{"a": "\\ud800"}\n', "not-readable"),
        (b'{"a": "\\u0000"}\n', "not-readable"),
        (b'{"a": ' + b"[" * 50 + b"]" * 50 + b"}\n", "not-readable"),
        (b'{"a": ' + b"[" * 100_000 + b"]" * 100_000 + b"}\n", "not-readable"),
        (b'{"a": "' + b"x" * LONGEST_LINE + b'"}\n', "too-big"),
    ],
)
def test_what_is_no_chart_file_is_told(raw: bytes, code: str) -> None:
    assert faults_of_bytes(raw)[0][0] == code


@pytest.mark.parametrize(
    ("told", "code", "key"),
    [
        ({"id": True}, "wrong-kind", "id"),
        ({"id": -1}, "impossible", "id"),
        ({"id": 1.5}, "wrong-kind", "id"),
        ({"id": 2**60}, "impossible", "id"),
        ({"id": None}, "missing", "id"),
        ({"child": "a b"}, "bad-key", "child"),
        ({"child": "c/1"}, "bad-key", "child"),
        ({"child": "x" * 41}, "bad-key", "child"),
        ({"line": ""}, "wrong-kind", "line"),
        ({"line": None}, "wrong-about", "line"),
        ({"kind": "site-chek"}, "unknown-word", "kind"),
        ({"happened_at": "2026-11-20T08:00:00"}, "no-offset", "happened_at"),
        ({"happened_at": "2026-11-20"}, "bad-instant", "happened_at"),
        ({"happened_at": "1026-11-20T08:00Z"}, "bad-instant", "happened_at"),
        ({"happened_at": 7}, "bad-instant", "happened_at"),
        ({"written_at": "2026-11-20T07:59:59Z"}, "written-too-soon", "written_at"),
        ({"by": 3}, "wrong-kind", "by"),
        ({"by": "a\nb"}, "bad-key", "by"),
        ({"corrects": "1"}, "wrong-kind", "corrects"),
        ({"corrects": 77}, "no-such-entry", "corrects"),
        ({"corrects": 2}, "corrects-itself", "corrects"),
        ({"policy": "quillmere"}, "wrong-kind", "policy"),
        ({"policy": {"set": "a b", "version": "1", "digest": "d"}}, "bad-key", "policy.set"),
        ({"body": []}, "wrong-kind", "body"),
        ({"body": {"sings": []}}, "unknown-key", "body.sings"),
        ({"ward": "kestrel"}, "unknown-key", "ward"),
    ],
)  # fmt: skip
def test_a_fault_names_line_and_key(told: dict[str, Any], code: str, key: str) -> None:
    assert faults_of({**LOOK, **told}) == [(code, f"x.jsonl: line 1: {key}")]


def test_what_is_about_the_child_alone_has_no_line() -> None:
    assert faults_of(row(1, "weight", {})) == [("wrong-about", "x.jsonl: line 1: line")]


def test_every_fault_of_every_line_comes_at_once() -> None:
    found = faults_of({**LOOK, "kind": "x"}, row(3, "finding", {"a": 1}), [])

    assert [where.split(": ")[1] for _, where in found] == [
        "line 1",
        "line 2",
        "line 3",
    ]


def test_what_lies_between_entries_is_told_with_the_rest() -> None:
    found = faults_of({**LOOK, "id": 9, "body": {"a": 1}}, {**LOOK, "corrects": 77})

    assert [code for code, _ in found] == ["unknown-key", "no-such-entry"]


def test_a_fault_in_one_entry_makes_no_second_one_in_its_correction() -> None:
    found = faults_of({**LOOK, "body": {"a": 1}}, row(3, "site-check", {}, corrects=2))

    assert [code for code, _ in found] == ["unknown-key"]


@pytest.mark.parametrize(
    "told",
    [
        {"kind": "finding"},
        {"line": "l-2"},
        {"line": "l-2", "child": "c-2"},
    ],
)
def test_a_correction_is_of_the_same_child_line_and_kind(told: dict[str, Any]) -> None:
    wrong = {**row(3, "site-check", {}, corrects=2), **told}

    assert [code for code, _ in faults_of(LOOK, wrong)] == ["corrects-another"]


def test_an_entry_has_one_correction() -> None:
    two = [row(id_, "site-check", {}, corrects=2) for id_ in (3, 4)]

    assert {code for code, _ in faults_of(LOOK, *two)} == {"corrected-twice"}


def test_corrections_go_in_no_circle() -> None:
    ring = [row(a, "site-check", {}, corrects=b) for a, b in ((1, 2), (2, 3), (3, 1))]

    assert [code for code, _ in faults_of(*ring)] == ["corrects-itself"]


def test_a_withdrawal_names_an_entry() -> None:
    assert faults_of(row(1, "withdrawn", {}))[0][0] == "takes-nothing-back"
    assert faults_of(LOOK, row(3, "withdrawn", {}, corrects=2)) == []


@pytest.mark.parametrize("kind", ["withdrawn", "site-check"])
def test_what_takes_an_entry_back_is_for_good(kind: str) -> None:
    back = row(3, "withdrawn", {}, corrects=2)

    assert faults_of(LOOK, back, row(4, kind, {}, corrects=3)) == [
        ("takes-back-for-good", "x.jsonl: line 3: corrects")
    ]


def test_an_id_stands_once() -> None:
    assert faults_of(LOOK, LOOK) == [("same-id", "x.jsonl: line 2: id")]


def test_a_line_has_one_child() -> None:
    found = faults_of(LOOK, row(3, "finding", {}, child="c-2"))

    assert found == [("other-child", "x.jsonl: line 2: line")]


def test_a_body_names_entries_of_its_own_child() -> None:
    specimen = row(1, "specimen", {"source": "blood"}, line=None)
    result = row(2, "specimen-result", {"specimen": 1}, line=None)

    assert faults_of(specimen, result) == []
    assert faults_of(result)[0][0] == "no-such-entry"
    assert faults_of(specimen, {**result, "child": "c-2"})[0][0] == "no-such-entry"
    closed = row(3, "concern-closed", {"concern": "pus:2"})
    assert faults_of(LOOK, closed) == []
    assert faults_of(row(3, "concern-closed", {"concern": "pus:8"}))[0] == (
        "no-such-entry", "x.jsonl: line 1: body.concern",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("naming", "key"),
    [
        (row(9, "specimen-result", {"specimen": 2}, line=None), "specimen"),
        (row(9, "infection-decision", {"event": 2}, line=None), "event"),
        (
            row(9, "infection-decision",
                {"proposed": {"specimens": ["e1"], "joined": [["e2", "S. aureus"]]}},
                line=None),
            "proposed",
        ),
        (row(9, "concern-closed", {"concern": "pus:3"}), "concern"),
        (row(9, "concern-closed", {"concern": "pus:4"}), "concern"),
        (row(9, "concern-closed", {"concern": "pus:5"}), "concern"),
    ],
)  # fmt: skip
def test_a_body_names_an_entry_of_the_kind_that_it_tells_of(
    naming: dict[str, Any], key: str
) -> None:
    chart = [
        row(1, "specimen", {"source": "blood"}, line=None),
        LOOK,
        row(3, "site-check", {"signs": ["red"]}, line="l-2"),
        row(4, "concern-acknowledged", {"concern": "pus:2"}),
        row(5, "withdrawn", {}, corrects=6),
        row(6, "site-check", {}),
    ]

    assert faults_of(*chart) == []
    assert faults_of(*chart, naming) == [
        ("names-another", f"x.jsonl: line 7: body.{key}")
    ]


def test_what_a_corrected_specimen_is_named_by_stays() -> None:
    first = row(1, "specimen", {"source": "urine"}, line=None)
    right = row(2, "specimen", {"source": "blood"}, line=None, corrects=1)
    named = [
        row(id_, "specimen-result", {"specimen": of}, line=None)
        for id_, of in ((3, 1), (4, 2))
    ]
    proposed = {"proposed": {"specimens": ["e1"]}}
    decided = row(5, "infection-decision", proposed, line=None)

    assert faults_of(first, right, *named, decided) == []
    gone = {"proposed": {"specimens": ["e77", "e77"]}}
    assert faults_of(first, row(5, "infection-decision", gone, line=None)) == [
        ("no-such-entry", "x.jsonl: line 2: body.proposed")
    ]


def test_an_impossible_number_is_a_fault_unless_it_has_been_put_right() -> None:
    slip = row(2, "site-check", {"external_length_mm": 2060})
    right = row(3, "site-check", {"external_length_mm": 206}, corrects=2)

    assert faults_of(slip)[0][0] == "impossible"
    assert faults_of(slip, right) == []


def test_a_file_of_nothing_but_faults_is_given_up_on() -> None:
    found = faults_of(*[{"a": 1}] * (MOST_FAULTS * 3))

    assert len(found) == MOST_FAULTS + 1
    assert found[-1][0] == "more-faults"


def test_ids_in_a_body_follow_their_entries() -> None:
    specimen = row(1, "specimen", {}, line=None)
    body = {
        "event": 1,
        "proposed": {"specimens": ["e1"], "joined": [["e1", "grew E. coli"]]},
        "because": "e1",
    }
    decided = row(2, "infection-decision", body, line=None)
    closed = row(4, "concern-closed", {"concern": "pus:3", "note": "pus:3"})
    looked = row(3, "site-check", {})
    _, decision, _, closing = read(specimen, decided, looked, closed)

    assert renumbered(decision, {1: 11}) == {
        "event": 11,
        "proposed": {"specimens": ["e11"], "joined": [["e11", "grew E. coli"]]},
        "because": "e1",
    }
    assert renumbered(closing, {3: 33}) == {"concern": "pus:33", "note": "pus:3"}
