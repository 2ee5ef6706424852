"""What was opened and told stays, whoever asks the database."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, connection, transaction
from tests.fakes.account import account_of
from tests.web.guide.test_account import send
from tests.web.guide.test_open_run import opened

from lumenkeep.ward.guide.models import GuideAccount, GuideClosing, GuideRun
from lumenkeep.ward.site.guarding import guards_of

GUARDS = guards_of("guide")


@pytest.fixture
def told(flint, clock) -> None:
    bundle = opened(flint).json()
    clock.move(minutes=30)
    assert send(flint, account_of(bundle)).status_code == 200


def _refused(action) -> None:
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        action()


def _sql(text: str):
    def run() -> None:
        with connection.cursor() as cursor:
            cursor.execute(text)

    return run


@pytest.mark.parametrize("table", GUARDS.tables)
def test_no_raw_sql_passes(told, table) -> None:
    for statement in (
        "UPDATE {} SET rowid = rowid",
        "DELETE FROM {}",
        "INSERT OR REPLACE INTO {0} SELECT * FROM {0} LIMIT 1",
    ):
        _refused(_sql(statement.format(table)))


@pytest.mark.parametrize("model", [GuideRun, GuideAccount, GuideClosing])
def test_no_row_is_saved_again_or_deleted(told, model) -> None:
    row = model.objects.get()

    _refused(row.save)
    _refused(lambda: model.objects.all()._raw_delete("default"))


def test_every_guard_stands_and_can_be_taken_down(db) -> None:
    def there() -> set[str]:
        with connection.cursor() as cursor:
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
            return {name for (name,) in cursor.fetchall()}

    assert set(GUARDS.names()) <= there()
    GUARDS.unguard(connection)
    assert not set(GUARDS.names()) & there()
    GUARDS.guard(connection)
    assert set(GUARDS.names()) <= there()
