"""Set a page with typst: our fonts only, tagged for readers of the screen, no clock.

The same content gives the same bytes: the date in the file is that of the content.
"""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

HERE = Path(__file__).parent
ACCESSIBLE = "ua-1"


def pdf_of(template: str, content: Mapping[str, Any], made_at: datetime) -> bytes:
    """Return a PDF/UA-1 file.

    Parameters
    ----------
    template
        Name of a ``.typ`` file beside this one; it reads ``sys.inputs.content``.
    content
        Plain values; they reach the template as JSON, never as its code.
    made_at
        Written into the file as its date (UTC).
    """
    made = _typst().compile(
        (HERE / template).read_bytes(),
        font_paths=[HERE / "fonts"],
        ignore_system_fonts=True,
        sys_inputs={"content": json.dumps(content, sort_keys=True)},
        pdf_standards=[ACCESSIBLE],
        timestamp=int(made_at.timestamp()),
    )
    return bytes(made)


@lru_cache(maxsize=1)
def _typst() -> Any:
    # Large, and only needed where something is printed.
    import typst

    return typst
