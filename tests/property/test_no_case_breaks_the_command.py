"""No case file, however broken, ends in a traceback: it is answered, or its faults told."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from click.testing import CliRunner
from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.strategies import case_values

from lumenkeep.cli.main import main

if TYPE_CHECKING:
    from pathlib import Path

    import click.testing

# Many examples a test: a busy machine takes its time.
pytestmark = pytest.mark.timeout(60)
AT = "2026-03-05T09:30:00-06:00"
RUNNER = CliRunner()

texts = st.text(
    st.characters(codec=None) | st.sampled_from("\ud800\udfff\0\ufeff\u2028"),
    max_size=12,
)
leaves = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.integers(-(10**400), 10**400),
    st.floats(allow_nan=True, allow_infinity=True),
    texts,
    st.sampled_from(
        (
            AT, "2026-02-30", "9999-12-31T23:59:59Z", "0001-01-01T00:00:00+23:59",
            "27w3d", "99w6d", "28w", "picc", "damp", "chlorhexidine", "chlorhexidin",
            "6.5", "../../x", "America", "UTC", "a" * 5000,
        )
    ),
)  # fmt: skip
KEYS = (
    "child", "line", "people", "zone", "born", "gestation_at_birth", "weights", "at",
    "g", "sensitivities", "skin_at_site", "unit", "kind", "site", "inserted", "lumens",
    "external_length_mm", "stitches", "dressing", "applied", "findings",
    "connectors_changed", "sets", "changed", "needle_changed", "reviewed", "inspected",
    "operator", "assistant", "glove",
)  # fmt: skip
keys = st.sampled_from(KEYS) | texts
values = st.recursive(
    leaves,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=5)
    ),
    max_leaves=20,
)


def outcome(raw: bytes, *words: str) -> click.testing.Result:
    """Return what the command makes of bytes, having checked that it stayed calm."""
    result = RUNNER.invoke(main, [*(words or ("plan", "-")), "--at", AT], input=raw)
    assert result.exception is None or isinstance(result.exception, SystemExit), (
        result.exception
    )
    assert result.exit_code in (0, 2, 3, 4)
    assert "Traceback" not in result.stderr
    assert bool(result.stderr) is (result.exit_code == 2)
    if result.exit_code == 2:
        assert result.stdout == ""
        assert "  mend:  " in result.stderr
    else:
        result.stdout.encode("utf-8")
    return result


@settings(max_examples=50)
@given(st.binary(max_size=200))
def test_any_bytes(raw: bytes) -> None:
    outcome(raw)


@settings(max_examples=60)
@given(values)
def test_any_json(value: Any) -> None:
    outcome(json.dumps(value).encode())


@settings(max_examples=50)
@given(case_values)
def test_a_case_with_wrong_values_here_and_there(value: Any) -> None:
    for command in ("plan", "due"):
        outcome(json.dumps(value).encode(), command, "-")
        outcome(json.dumps(value).encode(), command, "-", "--json")


@settings(max_examples=50)
@given(case_values, st.data())
def test_a_case_with_a_piece_torn_out(value: Any, data: st.DataObject) -> None:
    raw = json.dumps(value).encode()
    start = data.draw(st.integers(0, len(raw)))
    end = data.draw(st.integers(start, len(raw)))
    filling = data.draw(st.sampled_from((b"", b"{", b"]", b"NaN", b"\xff", b'"', b",")))

    outcome(raw[:start] + filling + raw[end:])


def toml_of(value: Any) -> str:
    """Return a value as TOML writes it in one line; what it cannot write is a text."""
    match value:
        case bool():
            return str(value).lower()
        case int() if abs(value) > 10**300:
            return hex(abs(value))
        case int() | float():
            return str(value).replace("e+", "e")
        case list():
            return "[" + ", ".join(map(toml_of, value)) + "]"
        case dict():
            rows = (f"{json.dumps(k)} = {toml_of(v)}" for k, v in value.items())
            return "{" + ", ".join(rows) + "}"
        case _:
            return json.dumps(value)


@settings(max_examples=50)
@given(st.dictionaries(keys, values, max_size=4))
def test_any_toml(value: dict[str, Any]) -> None:
    lines = [f"{json.dumps(key)} = {toml_of(item)}" for key, item in value.items()]
    outcome("\n".join(lines).encode())


DEEP = 100_000
HUGE = "9" * 5000
BROKEN: dict[str, bytes] = {
    "nothing": b"",
    "blank": b" \n\t ",
    "null": b"null",
    "a list at the top": b"[1, 2]",
    "a text at the top": b'"child"',
    "a number at the top": b"7",
    "lists without end": b"[" * DEEP,
    "deep lists": b"[" * DEEP + b"]" * DEEP,
    "deep tables": b'{"a":' * DEEP + b"1" + b"}" * DEEP,
    "a byte order mark": "\ufeff{}".encode(),
    "two byte order marks": "\ufeff\ufeff{}".encode(),
    "another encoding": '{"line": {}}'.encode("utf-16"),
    "not a text": b"\xff\xfe\x00",
    "a null byte": b'{"line": {"kind": "\0"}}',
    "half a character": b'{"child": {"sensitivities": ["\\ud800"]}}',
    "half a character as a key": b'{"\\udfff": 1, "line": {"\\ud800": 2}}',
    "half a character as a zone": b'{"zone": "\\ud800"}',
    "not a number": b'{"child": {"weights": [{"at": null, "g": NaN}]}}',
    "endless": b'{"line": {"external_length_mm": -Infinity}}',
    "too large a float": b'{"line": {"external_length_mm": 1e999}}',
    "too long a number": b'{"line": {"lumens": ' + HUGE.encode() + b"}}",
    "a long number": b'{"line": {"lumens": ' + b"9" * 4000 + b"}}",
    "a long glove": b'{"people": {"operator": {"glove": ' + b"9" * 400 + b"}}}",
    "a key twice": b'{"line": {"kind": "picc", "kind": "port"}}',
    "a zone that is a folder": b'{"zone": "America"}',
    "a zone out of its folder": b'{"zone": "../../etc/passwd"}',
    "a zone of another root": b'{"zone": "/etc/passwd"}',
    "a year too late": b'{"child": {"born": "9999-12-31T23:59:59-12:00"}}',
    "a year too early": b'{"child": {"born": "0001-01-01T00:00:00+14:00"}}',
    "a date too late": b'{"child": {"born": "9999-12-31"}}',
    "an offset of a day": b'{"line": {"inserted": "2026-01-01T00:00:00+23:59"}}',
    "toml: not a number": b"[line]\nexternal_length_mm = nan\nlumens = nan\nstitches = inf",
    "toml: a glove that is no number": b"[people.operator]\nglove = nan",
    "toml: a long hexadecimal number": b"[line]\nlumens = 0x" + b"f" * 5000,
    "toml: a long glove": b"[people.operator]\nglove = 0x" + b"f" * 5000,
    "toml: only a time": b"[child]\nborn = 12:00:00\n[line]\ninserted = 12:00:00",
    "toml: a local instant": b"[line]\ninserted = 2026-01-01T00:00:00",
    "toml: the last day": b"[child]\nborn = 9999-12-31",
    "toml: deep lists": b"a = " + b"[" * DEEP + b"]" * DEEP,
    "toml: deep tables": b"a = " + b"{a=" * DEEP + b"1" + b"}" * DEEP,
    "toml: a deep key": b".".join([b"a"] * 5000) + b" = 1",
}


@pytest.mark.timeout(20)
@pytest.mark.parametrize("name", sorted(BROKEN))
def test_a_file_broken_on_purpose(name: str) -> None:
    for command in ("plan", "due"):
        outcome(BROKEN[name], command, "-")
        outcome(BROKEN[name], command, "-", "--json")


@pytest.mark.parametrize("depth", [30, 200, 400, 800, 900, 950, 990])
def test_a_value_nested_where_a_word_belongs(depth: int) -> None:
    inner = "[" * depth + "]" * depth

    outcome(f'{{"line": {{"kind": {inner}, "sets": {inner}}}}}'.encode())
    outcome(f'{{"zone": {inner}, "child": {{"weights": [{inner}]}}}}'.encode())


@pytest.mark.parametrize(
    "at",
    [
        "9999-12-31T23:59:59Z",
        "9999-12-31T23:59:59-12:00",
        "9999-12-28T00:00:00Z",
        "0001-01-01T00:00:00Z",
        "0001-01-01T00:00:00+14:00",
        "2200-12-31T23:59:59Z",
        "1899-12-31T00:00:00Z",
        "2023-12-31T00:00:00Z",
        "",
        " ",
        "now",
        "2026-03-05",
        "2026-03-05T09:30:00",
        "\ud800",
        "NaN",
    ],
)
@pytest.mark.parametrize("zone", ["UTC", "Pacific/Kiritimati", "Pacific/Niue"])
def test_any_instant_asked_about(at: str, zone: str) -> None:
    case = {
        "zone": zone,
        "child": {"sensitivities": [], "born": "2020-01-01", "skin_at_site": "intact"},
        "line": {"dressing": {"findings": ["damp"]}},
    }
    for command in ("plan", "due"):
        result = RUNNER.invoke(
            main, [command, "-", "--at", at, "--json"], input=json.dumps(case)
        )
        assert result.exception is None or isinstance(result.exception, SystemExit)
        assert result.exit_code in (0, 2, 3, 4)
        assert bool(result.stderr) is (result.exit_code == 2)


@settings(max_examples=40)
@given(texts)
@example("x" * 5000)
@example("a\0b")
def test_any_name_of_a_policy_set(name: str) -> None:
    result = RUNNER.invoke(
        main, ["plan", "-", "--policy", name, "--at", AT], input="{}"
    )

    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert result.exit_code == 2
    assert result.stdout == ""


def test_a_folder_is_no_case(tmp_path: Path) -> None:
    outcome(b"", "plan", str(tmp_path))


def test_a_case_that_is_not_there() -> None:
    outcome(b"", "due", "no-such-case.json")


@pytest.mark.timeout(20)
def test_a_file_larger_than_a_case_can_be() -> None:
    outcome(b" " * 5_000_001)
