"""What is due when on a line: windows, findings, and what is not known."""

from lumenkeep.due.due_tasks import dressing_task, due_tasks
from lumenkeep.due.task import DueTask

__all__ = ["DueTask", "dressing_task", "due_tasks"]
