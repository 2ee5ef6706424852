"""Reading a case: each fault by its words, all of them at once, and what is read."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from lumenkeep.core.model import (
    NOT_GIVEN,
    SAID_UNKNOWN,
    Birth,
    Finding,
    Gestation,
    Weight,
)
from lumenkeep.core.model.closed_facts import CLOSED_FACTS, ClosedFact
from lumenkeep.errors import CaseError
from lumenkeep.files.case.case_file import case_from_mapping, case_from_text, check_at

MEND_INSTANT = "write date, time and offset, as in 2026-03-05T09:30:00-06:00"
SUBSTANCES = "chlorhexidine, iodine, alcohol, adhesive, latex, gel, silicone"
NOON = datetime(2026, 3, 5, 12, tzinfo=UTC)

FAULTS: dict[str, tuple[dict[str, Any], str, str, str, str]] = {
    "unknown key": (
        {"line": {"knid": "picc"}},
        "case-unknown-key",
        "'knid' means nothing here.",
        "line.knid",
        "did you mean 'kind'?",
    ),
    "unknown key, nothing near": (
        {"x": 1},
        "case-unknown-key",
        "'x' means nothing here.",
        "x",
        "take the key out",
    ),
    "not a table": (
        {"child": []},
        "case-wrong-kind",
        "[] is not a table.",
        "child",
        "write a table of keys and values",
    ),
    "unknown word": (
        {"child": {"skin_at_site": "whole"}},
        "case-unknown-word",
        "'whole' is not a word known here.",
        "child.skin_at_site",
        "write one of: intact, broken",
    ),
    "word nearly right": (
        {"line": {"dressing": {"kind": "tranparent"}}},
        "case-unknown-word",
        "'tranparent' is not a word known here.",
        "line.dressing.kind",
        (
            "did you mean 'transparent'? otherwise write one of: transparent, "
            "transparent-chg-gel, transparent-chg-disc, gauze, gauze-under-transparent, bridge"
        ),
    ),
    "instant without offset": (
        {"line": {"inserted": "2026-03-01T08:00:00"}},
        "case-no-offset",
        "'2026-03-01T08:00:00' does not say its offset.",
        "line.inserted",
        MEND_INSTANT,
    ),
    "no instant": (
        {"line": {"inserted": "yesterday"}},
        "case-bad-instant",
        "'yesterday' is not an instant.",
        "line.inserted",
        MEND_INSTANT,
    ),
    "a date where an instant belongs": (
        {"line": {"inserted": "2026-03-01"}},
        "case-bad-instant",
        "'2026-03-01' is not an instant.",
        "line.inserted",
        MEND_INSTANT,
    ),
    "a day that is on no calendar": (
        {"line": {"inserted": "2026-02-30T08:00:00Z"}},
        "case-bad-instant",
        "'2026-02-30T08:00:00Z' is not an instant.",
        "line.inserted",
        MEND_INSTANT,
    ),
    "impossible year": (
        {"line": {"inserted": "0026-03-01T08:00:00Z"}},
        "case-impossible",
        "The year 26 is not possible here.",
        "line.inserted",
        MEND_INSTANT,
    ),
    "no birth": (
        {"child": {"born": "1.3.2026"}},
        "case-bad-birth",
        "'1.3.2026' is neither an instant nor a date.",
        "child.born",
        f"{MEND_INSTANT}; or only the date, as in 2026-03-05",
    ),
    "impossible year of birth": (
        {"child": {"born": "0026-03-01"}},
        "case-impossible",
        "The year 26 is not possible here.",
        "child.born",
        MEND_INSTANT,
    ),
    "no gestation": (
        {"child": {"gestation_at_birth": "27+3"}},
        "case-wrong-kind",
        "'27+3' is not a gestation.",
        "child.gestation_at_birth",
        'write weeks and days, as in "27w3d"',
    ),
    "impossible gestation": (
        {"child": {"gestation_at_birth": "50w0d"}},
        "case-impossible",
        "A gestation of 50w0d is not possible here.",
        "child.gestation_at_birth",
        "write the gestation at birth, from 18w0d to 45w0d",
    ),
    "mass without a time": (
        {"child": {"weights": [{"g": 940}]}},
        "case-missing",
        "'at' is missing: a weighing has a time and a mass.",
        "child.weights[0].at",
        "add it, or take the weighing out",
    ),
    "mass in kilograms": (
        {"child": {"weights": [{"at": "2026-03-01T08:00:00Z", "g": 0.94}]}},
        "case-impossible",
        "0.94 grams is not possible here.",
        "child.weights[0].g",
        "write a number of grams from 150 to 300000",
    ),
    "mass as a text": (
        {"child": {"weights": [{"at": "2026-03-01T08:00:00Z", "g": "940 g"}]}},
        "case-wrong-kind",
        "'940 g' is not a number.",
        "child.weights[0].g",
        "write a number of grams from 150 to 300000",
    ),
    "half a stitch": (
        {"line": {"stitches": 2.5}},
        "case-wrong-kind",
        "2.5 is not a whole number of stitches.",
        "line.stitches",
        "write it without a fraction",
    ),
    "sensitivities not a list": (
        {"child": {"sensitivities": "latex"}},
        "case-wrong-kind",
        "'latex' is not a list.",
        "child.sensitivities",
        'write a list, as in ["chlorhexidine"]; [] means asked and none',
    ),
    "sensitivity nearly right": (
        {"child": {"sensitivities": ["latx"]}},
        "case-unknown-word",
        "'latx' is not a substance known here, but close to one.",
        "child.sensitivities[0]",
        f"did you mean 'latex'? known are: {SUBSTANCES}",
    ),
    "sensitivity that is no word": (
        {"child": {"sensitivities": [3]}},
        "case-wrong-kind",
        "3 is not a substance.",
        "child.sensitivities[0]",
        f"write one of: {SUBSTANCES}",
    ),
    "findings not a list": (
        {"line": {"dressing": {"findings": "damp"}}},
        "case-wrong-kind",
        "'damp' is not a list.",
        "line.dressing.findings",
        'write a list, as in ["damp"]; [] means looked and nothing found',
    ),
    "finding without a kind": (
        {"line": {"dressing": {"findings": [{"at": "2026-03-01T08:00:00Z"}]}}},
        "case-missing",
        "'kind' is missing.",
        "line.dressing.findings[0].kind",
        "add one of: damp, loose, soiled, bleeding, discharge, sodden",
    ),
    "sets not a list": (
        {"line": {"sets": {"kind": "lipid"}}},
        "case-wrong-kind",
        "{'kind': 'lipid'} is not a list of tables.",
        "line.sets",
        "write a list of tables",
    ),
    "glove": (
        {"people": {"operator": {"glove": 12}}},
        "case-impossible",
        "12 is not a glove size.",
        "people.operator.glove",
        "write one of: 5, 5.5, 6, 6.5, 7, 7.5, 8, 8.5, 9, 9.5",
    ),
    "zone": (
        {"zone": "Chicago"},
        "case-unknown-zone",
        "This time zone is not known.",
        "zone",
        'write its name in the tz database, as in "America/Chicago"',
    ),
    "blank zone": (
        {"zone": " "},
        "case-wrong-kind",
        "' ' is not a text.",
        "zone",
        "write words between quotes",
    ),
    "dressing before the line": (
        {
            "line": {
                "inserted": "2026-03-02T08:00:00Z",
                "dressing": {"applied": "2026-03-01T08:00:00Z"},
            }
        },
        "case-contradiction",
        "'line.dressing.applied' lies before 'line.inserted'.",
        "line.dressing.applied",
        "correct it, or correct 'line.inserted'",
    ),
    "line before birth": (
        {
            "child": {"born": "2026-03-02T08:00:00Z"},
            "line": {"inserted": "2026-03-01T08:00:00Z"},
        },
        "case-contradiction",
        "'line.inserted' lies before 'child.born'.",
        "line.inserted",
        "correct it, or correct 'child.born'",
    ),
    "weighed before birth": (
        {
            "child": {
                "born": "2026-03-02",
                "weights": [{"at": "2026-03-01T23:59:00Z", "g": 940}],
            }
        },
        "case-contradiction",
        "'child.weights[0].at' lies before 'child.born'.",
        "child.weights[0].at",
        "correct it, or correct 'child.born'",
    ),
}


@pytest.mark.parametrize("name", sorted(FAULTS))
def test_a_fault_says_what_is_wrong_where_and_how_to_mend_it(name: str) -> None:
    value, code, what, where, mend = FAULTS[name]

    with pytest.raises(CaseError) as caught:
        case_from_mapping(value, "case.json")

    [fault] = caught.value.faults
    assert (fault.code, fault.what) == (code, what)
    assert (fault.where, fault.mend) == (f"case.json: {where}", mend)


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(CaseError) as caught:
        case_from_text(
            '{"child": {"born": 7, "skin_at_site": 1}, "lines": {}, "zone": "x"}',
            "case.json",
        )

    assert str(caught.value) == (
        "This time zone is not known.  [case-unknown-zone]\n"
        "  where: case.json: zone\n"
        '  mend:  write its name in the tz database, as in "America/Chicago"\n'
        "7 is not an instant.  [case-bad-instant]\n"
        "  where: case.json: child.born\n"
        f"  mend:  {MEND_INSTANT}\n"
        "1 is not a word known here.  [case-unknown-word]\n"
        "  where: case.json: child.skin_at_site\n"
        "  mend:  write one of: intact, broken\n"
        "'lines' means nothing here.  [case-unknown-key]\n"
        "  where: case.json: lines\n"
        "  mend:  did you mean 'line'?"
    )


@pytest.mark.parametrize(
    ("text", "what"),
    [
        (
            '{"line": {"kind": "picc", "kind": "port"}}',
            "This cannot be read as JSON: the key 'kind' stands twice in one table.",
        ),
        (
            '{"line": {"stitches": NaN}}',
            "This cannot be read as JSON: NaN is not a number that can be charted.",
        ),
        (
            '{"line": {"stitches": 1e999}}',
            "This cannot be read as JSON: 1e999 is too large a number.",
        ),
        ("[1, 2]", "A case is a table with the keys child, line and people."),
        ("line =", "This cannot be read as TOML: Invalid value (at end of document)."),
    ],
)
def test_a_text_that_is_no_case(text: str, what: str) -> None:
    with pytest.raises(CaseError) as caught:
        case_from_text(text, "standard input")

    [fault] = caught.value.faults
    assert fault.what == what
    assert fault.where == "standard input"


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("child.born", {"child": {"born": "2026-03-05T12:01:00Z"}}),
        ("line.inserted", {"line": {"inserted": "2026-03-05T12:01:00Z"}}),
        (
            "line.dressing.applied",
            {"line": {"dressing": {"applied": "2026-03-05T12:01:00Z"}}},
        ),
        (
            "line.connectors_changed",
            {"line": {"connectors_changed": "2026-03-05T12:01:00Z"}},
        ),
        (
            "line.sets[0].changed",
            {"line": {"sets": [{"changed": "2026-03-05T12:01:00Z"}]}},
        ),
        ("line.needle_changed", {"line": {"needle_changed": "2026-03-05T12:01:00Z"}}),
        ("line.reviewed", {"line": {"reviewed": "2026-03-05T12:01:00Z"}}),
        ("line.inspected", {"line": {"inspected": "2026-03-05T12:01:00Z"}}),
    ],
)
def test_nothing_may_be_later_than_the_instant_asked_about(
    key: str, value: dict[str, Any]
) -> None:
    case = case_from_mapping(value, "case.json")
    check_at(case, NOON + timedelta(minutes=1), "case.json")

    with pytest.raises(CaseError) as caught:
        check_at(case, NOON, "case.json")

    [fault] = caught.value.faults
    assert fault.code == "case-later-than-asked"
    assert fault.what == f"'{key}' is later than the instant asked about."
    assert fault.where == f"case.json: {key}"
    assert fault.mend == "correct it, or ask about a later instant with --at"


FULL = """
zone = "America/Chicago"

[child]
born = 2025-11-20T08:00:00-06:00
gestation_at_birth = "27w3d"
sensitivities = ["CHG", "an invented gum"]
skin_at_site = "intact"
unit = "newborn-intensive-care"

[[child.weights]]
at = 2025-11-24T06:00:00-06:00
g = 940

[[child.weights]]
at = 2025-11-20T09:00:00-06:00
g = 900

[line]
kind = "picc"
site = "upper-arm"
lumens = 1
external_length_mm = 20.5
stitches = 2
sets = []

[line.dressing]
kind = "transparent-chg-gel"
findings = ["damp", { kind = "loose", at = 2025-11-25T06:00:00Z }]

[people.operator]
glove = 6.5

[people.assistant]
glove = "7.0"
"""


@pytest.mark.parametrize("name", ["case.toml", "standard input"])
def test_a_toml_case_is_read_whole(name: str) -> None:
    case = case_from_text(FULL, name)

    child, line = case.child, case.line
    assert case.zone == ZoneInfo("America/Chicago")
    assert child.born == Birth.at(datetime(2025, 11, 20, 14, tzinfo=UTC))
    assert child.gestation_at_birth == Gestation.of(27, 3)
    assert child.weights == (
        Weight(datetime(2025, 11, 20, 15, tzinfo=UTC), 900),
        Weight(datetime(2025, 11, 24, 12, tzinfo=UTC), 940),
    )
    assert child.sensitivities == {"chlorhexidine", "an-invented-gum"}
    assert (line.kind, line.site, line.lumens) == ("picc", "upper-arm", 1)
    assert (line.external_length_mm, line.stitches, line.sets) == (20.5, 2, ())
    assert line.dressing.findings == (
        Finding("damp"),
        Finding("loose", datetime(2025, 11, 25, 6, tzinfo=UTC)),
    )
    assert (case.people.operator.glove, case.people.assistant.glove) == ("6.5", "7")


def test_left_out_is_not_given_and_null_is_said_to_be_unknown() -> None:
    case = case_from_mapping({"child": {"born": None}, "line": None}, "case")

    assert case.child.born == SAID_UNKNOWN
    assert case.child.gestation_at_birth == NOT_GIVEN
    assert case.line.kind == NOT_GIVEN
    assert case.line.sets == NOT_GIVEN


def test_an_empty_list_of_sensitivities_is_known() -> None:
    case = case_from_mapping({"child": {"sensitivities": []}}, "case")

    assert case.child.sensitivities == frozenset()


def test_without_a_zone_the_wall_clock_is_that_of_the_first_instant() -> None:
    case = case_from_mapping(
        {
            "child": {"born": "2026-03-01"},
            "line": {"inserted": "2026-03-02T08:00:00-06:00"},
        },
        "case",
    )

    central = timezone(timedelta(hours=-6))
    assert case.zone == central
    assert case.child.born == Birth.on(date(2026, 3, 1), central)
    assert case_from_mapping({}, "case").zone is UTC


@pytest.mark.parametrize("text", ["27w3d", "27 W 3 D", " 27w3d "])
def test_a_gestation_may_be_written_with_spaces(text: str) -> None:
    case = case_from_mapping({"child": {"gestation_at_birth": text}}, "case")

    assert case.child.gestation_at_birth == Gestation.of(27, 3)


@pytest.mark.parametrize(
    "fact", [one for one in CLOSED_FACTS if one.is_yes_no], ids=lambda one: one.name
)
def test_every_yes_or_no_that_rules_may_speak_of_is_read(fact: ClosedFact) -> None:
    for table in fact.whose:
        name = table.__name__.lower()
        case = case_from_mapping({name: {fact.attribute: True}}, "case")

        assert getattr(getattr(case, name), fact.attribute) is True
