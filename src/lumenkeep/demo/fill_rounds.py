"""Give the demo hospital two months of line rounds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.policy import load_policy
from lumenkeep.demo.hospital import POLICY_SET
from lumenkeep.demo.rounds import tell_rounds
from lumenkeep.demo.scenario import SEED
from lumenkeep.ward.rounds.models import LookRow

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry


def fill_rounds(entries: Sequence[Entry], now: datetime) -> None:
    """Write the looks of the demo, as of ``now`` (UTC)."""
    policy = load_policy(POLICY_SET)
    LookRow.objects.bulk_create(
        LookRow(
            ward_id=told.ward,
            line_id=told.line,
            at=told.at,
            written_at=told.at,
            observer=told.observer,
            from_unit=told.from_unit,
            observed=told.observed or "",
            answers=dict(told.answers),
            policy=policy.digest,
            submission=f"demo-look-{number}",
        )
        for number, told in enumerate(tell_rounds(SEED, entries, policy, now))
    )
