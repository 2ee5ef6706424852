"""What else is worked out anew whenever lines of the chart change.

Other apps put their function here when they start, so that the chart need not know
them. It runs in the transaction that writes the entries.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from lumenkeep.ward.site.people import Clock

    Follower = Callable[[Collection[str], Clock | None], None]

_FOLLOWERS: list[Follower] = []


def follow(follower: Follower) -> None:
    """Have a function told the keys of the lines that changed."""
    if follower not in _FOLLOWERS:
        _FOLLOWERS.append(follower)


def tell_followers(lines: Collection[str], clock: Clock | None = None) -> None:
    """Tell every function which lines have changed."""
    for follower in _FOLLOWERS:
        follower(lines, clock)
