"""What a person typed, read for what can be seen of it."""

from __future__ import annotations

import pytest

from lumenkeep.ward.site.typed_values import Typed


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        (" Demo Rose ", "Demo Rose"),
        ("\u202e12", "12"),
        ("Demo \u2067Rose\u2069", "Demo Rose"),
        ("bed \u200f12\ufeff\x1b", "bed 12"),
        ("one\ntwo\tthree", "one\ntwo\tthree"),
        ("\u0645\u06cc\u200c\u062e", "\u0645\u06cc\u200c\u062e"),
        ("a\0b", "ab"),
        ("נויה", "נויה"),
    ],
)
def test_a_text_is_kept_without_what_turns_it_round(typed, kept) -> None:
    assert Typed({"bed": typed}).text("bed", "Bed") == kept


@pytest.mark.parametrize("typed", ["", "  ", "\0", "\u200b", "\u202e", "\u200b \u200b"])
def test_what_cannot_be_seen_is_no_answer(typed) -> None:
    form = Typed({"why": typed})

    assert form.text("why", "Why", needed=True) is None
    assert [fault.code for fault in form.faults] == ["chart-missing"]
