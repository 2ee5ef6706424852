"""Lines of a chart file for tests: one entry each, with what is not told made up."""

from __future__ import annotations

import io
import json
from typing import Any

from lumenkeep.core.policy import load_policy
from lumenkeep.ward.chart_file.bounds import bounds_of
from lumenkeep.ward.chart_file.chart_file import read_chart_file

NEEDED = ("id", "child", "line", "kind", "happened_at", "by", "corrects", "body")


def row(id_: int, kind: str, body: dict[str, Any], **told: Any) -> dict[str, Any]:
    """Return an entry of line ``l-1`` of child ``c-1``."""
    return {
        "id": id_,
        "child": "c-1",
        "line": "l-1",
        "kind": kind,
        "happened_at": "2026-11-20T08:00:00+00:00",
        "by": "s-1",
        "corrects": None,
        "body": body,
        **told,
    }


def text_of(*rows: Any) -> str:
    """Return the rows as the text of a chart file."""
    return "".join(f"{json.dumps(one)}\n" for one in rows)


def read(*rows: Any, policy: str = "quillmere") -> Any:
    """Return the entries that a file with these rows holds."""
    stream = io.BytesIO(text_of(*rows).encode())
    return read_chart_file(stream, "x.jsonl", bounds_of(load_policy(policy)))
