"""Write tables as TOML text, in the shapes that a policy set has.

Not a general writer: texts, numbers, yes and no, days, lists and tables are all that
a set holds. What is written here reads back as the same tables, which is tested.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

PLAIN_KEY = re.compile(r"[A-Za-z0-9_-]+")
WIDE = 80
_ESCAPES = {
    "\\": "\\\\",
    '"': '\\"',
    "\n": "\\n",
    "\t": "\\t",
    "\r": "\\r",
    "\b": "\\b",
    "\f": "\\f",
}
_FIRST_PRINTABLE, _DELETE = " ", "\x7f"


def file_text(tables: Mapping[str, Any]) -> str:
    """Return the text of one file of a set.

    Parameters
    ----------
    tables
        As `tomli` reads them: ``set``, named tables such as ``number``, and lists of
        rules such as ``exclude``.
    """
    parts: list[str] = []
    for key, value in tables.items():
        if isinstance(value, Mapping) and key in ("number", "agent", "source"):
            for id_, table in value.items():
                parts.append(_table(f"[{_key(key)}.{_key(id_)}]", table))
        elif isinstance(value, Mapping):
            parts.append(_table(f"[{_key(key)}]", value))
        else:
            parts += [_table(f"[[{_key(key)}]]", row) for row in value]
    return "\n".join(parts)


def _table(head: str, table: Mapping[str, Any]) -> str:
    lines = [head, *(_line(key, value) for key, value in table.items())]
    return "\n".join(lines) + "\n"


def _line(key: str, value: Any) -> str:
    text = f"{_key(key)} = {value_text(value)}"
    if len(text) <= WIDE or not _is_list(value) or not value:
        return text
    rows = "".join(f"  {value_text(item)},\n" for item in value)
    return f"{_key(key)} = [\n{rows}]"


def value_text(value: Any) -> str:
    """Return one value as TOML.

    Raises
    ------
    TypeError
        Something that no set holds.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, Mapping):
        inner = ", ".join(f"{_key(k)} = {value_text(v)}" for k, v in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if _is_list(value):
        return f"[{', '.join(value_text(item) for item in value)}]"
    raise TypeError(f"a set holds no {type(value).__name__}")


def _is_list(value: Any) -> bool:
    return isinstance(value, Sequence) and not isinstance(value, str)


def _key(key: str) -> str:
    return key if PLAIN_KEY.fullmatch(key) else _quoted(key)


def _quoted(text: str) -> str:
    return f'"{"".join(_escaped(letter) for letter in text)}"'


def _escaped(letter: str) -> str:
    if letter in _ESCAPES:
        return _ESCAPES[letter]
    if letter < _FIRST_PRINTABLE or letter == _DELETE:
        return f"\\u{ord(letter):04x}"
    return letter
