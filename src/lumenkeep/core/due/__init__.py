"""What is due when on a line: windows, findings, and what is not known."""

from lumenkeep.core.due.due_tasks import dressing_task, due_tasks
from lumenkeep.core.due.task import DueTask

__all__ = ["DueTask", "dressing_task", "due_tasks"]
