"""What can be charted, each kind said once, and the reading of the chart."""

from lumenkeep.entries.fold import LineFold, LineState
from lumenkeep.entries.kind import CHILD, EITHER, LINE, Field, Form, Kind, Task
from lumenkeep.entries.registry import every_kind, every_task, is_about, kind_of
from lumenkeep.entries.signs import SeenSigns, signs_in
from lumenkeep.entries.state import line_state, take
from lumenkeep.model.chart import WITHDRAWN

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
