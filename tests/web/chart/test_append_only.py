"""What was written stays: the database itself refuses, whoever asks."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.migrations.executor import MigrationExecutor
from tests.fakes.clock import FixedClock
from tests.web.hospital import hospital_with_a_line

from lumenkeep.ward.chart.models import EntryRow, PolicyVersion
from lumenkeep.ward.site.guarding import guards_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def entry() -> EntryRow:
    hospital_with_a_line(FixedClock())
    return EntryRow.objects.order_by("id").first()


def _refused(action) -> None:
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        action()


def _sql(text: str, *values: object):
    def run() -> None:
        with connection.cursor() as cursor:
            cursor.execute(text, values)

    return run


def test_an_entry_cannot_be_saved_again(entry) -> None:
    entry.by = "s-other"

    _refused(entry.save)


def test_an_entry_cannot_be_deleted(entry) -> None:
    last = EntryRow.objects.order_by("id").last()

    _refused(last.delete)


@pytest.mark.parametrize("table", [EntryRow, PolicyVersion])
def test_no_bulk_update_and_no_bulk_delete_passes(entry, table) -> None:
    field = "kind" if table is EntryRow else "version"

    _refused(lambda: table.objects.update(**{field: "other"}))
    _refused(lambda: table.objects.all()._raw_delete("default"))


@pytest.mark.parametrize("table", ["chart_entry", "chart_policy_version"])
def test_no_raw_sql_passes(entry, table) -> None:
    for statement in (
        "UPDATE {} SET id = id",
        "DELETE FROM {}",
        "INSERT OR REPLACE INTO {0} SELECT * FROM {0} LIMIT 1",
    ):
        _refused(_sql(statement.format(table)))


def test_replace_cannot_slip_in_by_another_unique_key(entry) -> None:
    version = PolicyVersion.objects.get()

    _refused(
        _sql(
            "INSERT OR REPLACE INTO chart_policy_version"
            " (set_id, version, digest, files, first_seen)"
            " VALUES ('x', 'x', %s, '[]', '2026-01-01')",
            version.digest,
        )
    )


def test_a_correction_of_a_correction_s_original_is_refused_by_the_table(entry) -> None:
    def correct() -> None:
        EntryRow.objects.create(
            child_id=entry.child_id, kind="withdrawn", by="s-1", policy=entry.policy,
            happened_at=entry.happened_at, written_at=entry.written_at, corrects=entry,
        )  # fmt: skip

    correct()
    with pytest.raises(IntegrityError), transaction.atomic():
        correct()


def test_a_withdrawal_that_names_nothing_is_refused_by_the_table(entry) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        EntryRow.objects.create(
            child_id=entry.child_id, kind="withdrawn", by="s-1", policy=entry.policy,
            happened_at=entry.happened_at, written_at=entry.written_at,
        )  # fmt: skip


def _guards() -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        return {name for (name,) in cursor.fetchall()}


def test_every_guard_stands_after_all_migrations() -> None:
    assert set(guards_of("chart").names()) <= _guards()


@pytest.mark.django_db(transaction=True)
def test_the_migrations_go_back_and_forth() -> None:
    def move(name: str | None) -> None:
        executor = MigrationExecutor(connection)
        executor.loader.build_graph()
        executor.migrate([("chart", name)])

    move("0001_the_chart")
    assert not _guards()
    move(None)
    with connection.cursor() as cursor:
        assert "chart_entry" not in connection.introspection.table_names(cursor)
    move("0002_guard_what_was_written")
    assert set(guards_of("chart").names()) <= _guards()
    executor = MigrationExecutor(connection)
    executor.migrate(executor.loader.graph.leaf_nodes())


def test_guards_come_back_when_a_table_is_remade() -> None:
    from django.core.management import call_command

    with connection.cursor() as cursor:
        cursor.execute("DROP TRIGGER chart_entry_no_update")

    call_command("migrate", verbosity=0)

    assert "chart_entry_no_update" in _guards()


def test_no_model_change_lacks_its_migration() -> None:
    from django.core.management import call_command

    call_command("makemigrations", check=True, dry_run=True, verbosity=0)
