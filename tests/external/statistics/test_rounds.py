"""Compliant or biased? Observers of the maintenance bundle (AJIC 2020).

Found: 3808 of 63 945 observations by the unit's own observers were not compliant
(6.0 %), 5647 of 27 123 by outside observers (20.8 %).
"""

from __future__ import annotations

import pytest

from lumenkeep.core.outcomes.rounds.keeping import (
    BundleShare,
    ItemShare,
    Keeping,
    not_kept_apart,
)

pytestmark = pytest.mark.external


def observers(*, from_unit: bool, not_kept: int, seen: int) -> Keeping:
    item = ItemShare("any", seen - not_kept, not_kept, 0, 0, None)
    nothing = BundleShare(0, 0, 0, None)
    return Keeping(from_unit, seen, seen, (item,), nothing, nothing)


def test_the_units_own_observers_see_a_third_of_what_outsiders_see() -> None:
    own = observers(from_unit=True, not_kept=3808, seen=63_945)
    outside = observers(from_unit=False, not_kept=5647, seen=27_123)

    apart = not_kept_apart([own, outside])

    assert apart is not None
    shares = [one.items[0].share for one in (own, outside)]
    assert [100 * (1 - share) for share in shares if share is not None] == [
        pytest.approx(6.0, abs=0.05),
        pytest.approx(20.8, abs=0.05),
    ]
    assert apart.value == pytest.approx(0.208 - 0.060, abs=0.001)
    assert apart.limits.low is not None
    assert apart.limits.low > 0.14
