"""The repository of policy versions, steps and drafts."""

from __future__ import annotations

from secrets import token_hex
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.archive import policy_from_texts
from lumenkeep.errors import Fault
from lumenkeep.ward.chart.models import PolicyVersion
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.policies.start import first_files, own_set_id
from lumenkeep.ward.site.written_once import all_or_nothing
from lumenkeep.ward.versions.in_force import step_records, texts_of
from lumenkeep.ward.versions.models import PolicyDraft, PolicyStep
from lumenkeep.ward.versions.records import (
    DraftRecord,
    NewStep,
    StepRecord,
    VersionRecord,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from django.db import IntegrityError

    from lumenkeep.core.policy.archive import SetTexts

KEY_BYTES = 5


class VersionRepository:
    """Versions, their steps, and the drafts, in the database."""

    def version(self, id_: int) -> VersionRecord | None:
        """Return one version; None if there is none of that id."""
        row = PolicyVersion.objects.filter(pk=id_).first()
        return None if row is None else version_record(row)

    def versions(self, ids: Sequence[int]) -> dict[int, VersionRecord]:
        """Return versions by their ids; one query."""
        return {
            pk: version_record(row)
            for pk, row in PolicyVersion.objects.in_bulk(list(ids)).items()
        }

    def steps(self, version: int | None = None) -> Sequence[StepRecord]:
        """Return the steps of one version, or of all, in the order of writing."""
        rows = PolicyStep.objects.all()
        return step_records(rows if version is None else rows.filter(version=version))

    def add_steps(self, steps: Sequence[NewStep], at: datetime) -> Sequence[StepRecord]:
        """Write steps, all or none, as taken at an instant (UTC).

        Raises
        ------
        StoreError
            ``policy-life-refused``: the record's guards forbid it.
            ``policy-life-not-written``: the database failed.
        """
        failed = Fault(
            "policy-life-not-written",
            "The step could not be written; nothing was saved.",
            "step",
            "send it again in a minute",
        )
        with all_or_nothing(failed, _refused):
            made = [
                PolicyStep.objects.create(
                    version_id=step.version, kind=step.kind, by=step.by, at=at,
                    ward_id=step.ward, starts_at=step.starts_at,
                    calls_off_id=step.calls_off, note=step.note,
                    body=dict(step.body),
                ).pk
                for step in steps
            ]  # fmt: skip
        return step_records(PolicyStep.objects.filter(pk__in=made))

    def keep_version(self, draft: DraftRecord, at: datetime) -> VersionRecord:
        """Return the draft as a version on record, made if it is new."""
        policy = policy_from_texts(draft.layers)
        known = PolicyVersion.objects.filter(digest=policy.digest).first()
        if known is None:
            known = PolicyVersion.objects.create(
                set_id=policy.id,
                version=policy.version,
                digest=policy.digest,
                files=_layers(draft.layers),
                first_seen=at,
            )
        return version_record(known)

    def drafts(self) -> Sequence[DraftRecord]:
        """Return the open drafts, the newest first."""
        return [_draft(row) for row in PolicyDraft.objects.filter(is_open=True)]

    def draft(self, key: str) -> DraftRecord | None:
        """Return one draft; None if there is none of that key."""
        row = PolicyDraft.objects.filter(key=key).first()
        return None if row is None else _draft(row)

    def start_draft(
        self, base: VersionRecord, title: str, by: str, at: datetime
    ) -> DraftRecord:
        """Return a new draft on top of a version."""
        is_own = PolicyStep.objects.filter(version=base.id).exists()
        set_id = own_set_id(base, is_own=is_own)
        taken = _version_names(set_id)
        start = first_files(base, title, taken, is_own=is_own)
        row = PolicyDraft.objects.create(
            key=f"d-{token_hex(KEY_BYTES)}",
            title=title,
            set_id=start.name,
            base_id=base.id,
            below=_layers(start.below),
            files=dict(start.files),
            editors=[by],
            edited_by=by,
            edited_at=at,
        )
        return _draft(row)

    def save_draft(
        self, draft: DraftRecord, files: Mapping[str, str], by: str, at: datetime
    ) -> bool:
        """Save the files; False if somebody saved the draft since it was read."""
        editors = list(dict.fromkeys([*draft.editors, by]))
        saved = PolicyDraft.objects.filter(
            key=draft.key, revision=draft.revision, is_open=True
        ).update(
            files=dict(files),
            title=draft.title,
            revision=draft.revision + 1,
            editors=editors,
            edited_by=by,
            edited_at=at,
        )
        return bool(saved)

    def close_draft(self, key: str, by: str, at: datetime) -> None:
        """Put a draft away."""
        PolicyDraft.objects.filter(key=key).update(
            is_open=False, edited_by=by, edited_at=at
        )


def _refused(error: IntegrityError) -> Fault:
    return Fault(
        "policy-life-refused",
        f"The record refuses this step: {error}.",
        "step",
        "look at the version again; somebody may have been faster",
    )


def _version_names(set_id: str) -> set[str]:
    """Return the names of the versions of a set, kept ones and open drafts."""
    kept = PolicyVersion.objects.filter(set_id=set_id).values_list("version", flat=True)
    drafts = PolicyDraft.objects.filter(set_id=set_id, is_open=True)
    return {
        *kept,
        *(str(Parts.of(_draft(d).layers).of_the_set("version")) for d in drafts),
    }


def version_record(row: PolicyVersion) -> VersionRecord:
    """Return a version as the services know it."""
    return VersionRecord(
        row.pk, row.set_id, row.version, row.digest, texts_of(row.files)
    )


def _draft(row: PolicyDraft) -> DraftRecord:
    return DraftRecord(
        key=row.key,
        title=row.title,
        set_id=row.set_id,
        base=row.base_id,
        below=texts_of(row.below),
        files=dict(row.files),
        revision=row.revision,
        editors=tuple(row.editors),
        edited_by=row.edited_by,
        edited_at=row.edited_at,
        is_open=row.is_open,
    )


def _layers(layers: Sequence[SetTexts]) -> list[dict[str, Any]]:
    return [{"name": layer.name, "files": dict(layer.files)} for layer in layers]
