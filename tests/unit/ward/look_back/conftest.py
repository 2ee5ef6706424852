"""Load the slow part of scipy before any test's time begins."""

from __future__ import annotations

import scipy.optimize
import scipy.stats  # noqa: F401
