"""Say what a text was and what it became, in as few words as show the difference."""

from __future__ import annotations

from difflib import SequenceMatcher

LINE = 88
"""Letters of a text that are shown whole; of a longer one what differs is shown."""
LONGEST = 2 * LINE
AROUND = 3
"""Words shown before and after one that differs."""
GAP = "…"


def turn_words(was: str, now: str) -> str:
    """Return "was → now"; of texts longer than a line only where they differ.

    Examples
    --------
    >>> turn_words("2 years", "12 years")
    '2 years → 12 years'
    """
    if max(len(was), len(now)) > LINE:
        was, now = _differing(was, now)
    return f"{was} → {now}"


def cut(text: str, most: int = LINE) -> str:
    """Return a text, and of one longer than a line its beginning."""
    if len(text) <= most:
        return text
    quote = "”" if text.startswith("“") else ""
    return f"{text[:most].rpartition(' ')[0] or text[:most]} {GAP}{quote}"


def _differing(was: str, now: str) -> tuple[str, str]:
    one, two = _bare(was).split(), _bare(now).split()
    steps = SequenceMatcher(None, one, two, autojunk=False).get_opcodes()
    turns = [step for step in steps if step[0] != "equal"]
    before = _pieces(one, [(step[1], step[2]) for step in turns])
    after = _pieces(two, [(step[3], step[4]) for step in turns])
    return _quoted_as(was, before), _quoted_as(now, after)


def _pieces(words: list[str], spans: list[tuple[int, int]]) -> str:
    """Return the words of the spans with their neighbours, and gaps between."""
    shown = {
        place
        for start, end in spans
        for place in range(start - AROUND, end + AROUND)
        if 0 <= place < len(words)
    }
    found: list[str] = []
    for place, word in enumerate(words):
        if place in shown:
            found.append(word)
        elif not found or found[-1] != GAP:
            found.append(GAP)
    return " ".join(found)


def _bare(text: str) -> str:
    return text[1:-1] if text.startswith("“") and text.endswith("”") else text


def _quoted_as(text: str, piece: str) -> str:
    return cut(f"“{piece}”" if text.startswith("“") else piece, LONGEST)
