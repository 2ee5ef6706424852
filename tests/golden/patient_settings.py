"""Settings of a worker whose patience no busy machine ends."""

from __future__ import annotations

from dataclasses import replace

from lumenkeep.web.settings import *  # noqa: F403
from lumenkeep.web.settings import LONG_WORK

LONG_WORK = {name: replace(kind, patience_s=3600) for name, kind in LONG_WORK.items()}
