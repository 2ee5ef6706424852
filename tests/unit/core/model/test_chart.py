"""What a line's entries come to, where something was never charted."""

from __future__ import annotations

from datetime import UTC, datetime

from lumenkeep.core.entries import line_state
from lumenkeep.core.model import NEVER_CHARTED, SAID_UNKNOWN
from lumenkeep.core.model.entry import Entry

NOON = datetime(2026, 11, 25, 18, tzinfo=UTC)


def _inserted(**body):
    entry = Entry(1, "c", "l", "line-inserted", NOON, NOON, "s", "p", None, body)
    return line_state([entry], NOON, UTC).case.line


def test_a_dressing_never_charted_has_neither_kind_nor_time() -> None:
    dressing = _inserted(kind="picc", dressing=None).dressing

    assert (dressing.kind, dressing.applied) == (NEVER_CHARTED, NEVER_CHARTED)


def test_a_dressing_charted_at_insertion_counts_from_it() -> None:
    assert _inserted(dressing="gauze").dressing.applied == NOON


def test_stitches_given_as_null_are_unknown_and_none_are_none() -> None:
    assert _inserted(stitches=None).stitches == SAID_UNKNOWN
    assert _inserted().stitches == SAID_UNKNOWN
    assert _inserted(stitches=0).stitches == 0
