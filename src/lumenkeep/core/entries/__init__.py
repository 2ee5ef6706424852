"""What can be charted, each kind said once, and the reading of the chart."""

from lumenkeep.core.entries.fold import LineFold, LineState
from lumenkeep.core.entries.kind import CHILD, EITHER, LINE, Field, Form, Kind, Task
from lumenkeep.core.entries.registry import every_kind, every_task, is_about, kind_of
from lumenkeep.core.entries.signs import SeenSigns, signs_in
from lumenkeep.core.entries.state import line_state, take
from lumenkeep.core.model.chart import WITHDRAWN

__all__ = [
    "CHILD",
    "EITHER",
    "LINE",
    "WITHDRAWN",
    "Field",
    "Form",
    "Kind",
    "LineFold",
    "LineState",
    "SeenSigns",
    "Task",
    "every_kind",
    "every_task",
    "is_about",
    "kind_of",
    "line_state",
    "signs_in",
    "take",
]
