"""``python -m lumenkeep.web work``: a worker by itself, or beside a server."""

from __future__ import annotations

from lumenkeep.errors import InputError
from lumenkeep.ward.long_work.supervisor import new_name
from lumenkeep.web.chart_file_run import OK, choose_folder, must_be_readable, told


def work_run(name: str, *, beside: bool, of_demo: bool) -> int:
    """Work until told to end; return the exit code."""
    choose_folder(of_demo=of_demo)
    try:
        must_be_readable()
    except InputError as error:
        return told(error)
    from lumenkeep.ward.long_work.worker import work

    work(name or new_name(), beside=beside)
    return OK
