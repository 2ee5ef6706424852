"""By which kind of entry each recurring task of the policy is charted."""

from __future__ import annotations

from lumenkeep.core.entries import every_kind

KIND_OF_TASK = {
    kind.task.word: kind.id for kind in every_kind().values() if kind.task is not None
} | {"dressing": "dressing-change", "set": "set-change", "port-needle": "needle-change"}
"""Kind of entry by the policy's word for the task."""
