"""Of two long texts is shown where they differ, and of two short ones all."""

from __future__ import annotations

from lumenkeep.text.policy.over import LINE, LONGEST, cut, turn_words

LONG = "“" + " ".join(f"word{number}" for number in range(40)) + ".”"


def test_short_texts_are_shown_whole() -> None:
    assert turn_words("“Wait.”", "“Do not wait.”") == "“Wait.” → “Do not wait.”"


def test_of_long_texts_each_difference_is_shown_with_its_neighbours() -> None:
    now = LONG.replace("word9 ", "word9 not ").replace("word30", "never")

    assert turn_words(LONG, now) == (
        "“… word7 word8 word9 word10 word11 word12 … word27 word28 word29 word30 word31 "
        "word32 word33 …” → “… word7 word8 word9 not word10 word11 word12 … word27 word28 "
        "word29 never word31 word32 word33 …”"
    )


def test_what_is_new_is_shown_beside_nothing() -> None:
    was, _, now = turn_words("nothing", LONG).partition(" → ")

    assert was == "nothing"
    assert now.startswith("“word0 word1 ")
    assert now.endswith(" …”")
    assert len(now) <= LONGEST + len(" …”")


def test_a_cut_text_ends_with_a_whole_word_and_its_quote() -> None:
    told = cut(LONG)

    assert told.endswith(" …”")
    assert LONG.startswith(told.removesuffix(" …”") + " ")
    assert len(told) <= LINE + len(" …”")
    assert cut("“Wait.”") == "“Wait.”"
