"""The change of policy that the demo hospital's educator is working on."""

from __future__ import annotations

BY = "s-agate"
WARD = "wren"
NUMBER = "chg-mass"
VALUE = 1200
SOURCE = "common-practice"
"""Chlorhexidine from a higher mass: some babies on the ward would then not have it."""
