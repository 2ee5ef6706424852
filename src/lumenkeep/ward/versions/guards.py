"""Triggers that hold the life of a policy version to its rules, whoever writes.

Steps are never changed or taken out. None is approved that was not proved, or by one
who drafted it; none is in force that was not approved; and on one ward each start or
end lies after all those before it, so two versions never meet at one instant.
"""

from __future__ import annotations

from lumenkeep.ward.site.guarding import Guards

TABLE = "policy_step"

_WHENS = {
    "no_update": ("UPDATE", "", "steps stay as they were written: no UPDATE"),
    "no_delete": ("DELETE", "", "steps stay as they were written: no DELETE"),
    "no_replace": (
        "INSERT",
        """EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.id = NEW.id OR s.calls_off_id = NEW.calls_off_id)""",
        "steps stay as they were written: no REPLACE",
    ),
    "proved_first": (
        "INSERT",
        """NEW.kind = 'approved' AND NOT EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.version_id = NEW.version_id AND s.kind = 'proved')""",
        "a version is proved before it is approved",
    ),
    "four_eyes": (
        "INSERT",
        """NEW.kind = 'approved' AND EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.version_id = NEW.version_id AND s.kind = 'drafted'
            AND s.by = NEW.by)""",
        "nobody approves what they drafted",
    ),
    "approved_first": (
        "INSERT",
        """NEW.kind = 'in-force' AND NOT EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.version_id = NEW.version_id AND s.kind = 'approved')""",
        "a version is approved before it is in force",
    ),
    "not_retired": (
        "INSERT",
        """NEW.kind IN ('approved', 'in-force')
            AND EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.version_id = NEW.version_id AND s.kind = 'retired'
            AND s.ward_id IS NULL)""",
        "a retired version is not used again",
    ),
    "one_at_a_time": (
        "INSERT",
        """NEW.ward_id IS NOT NULL AND EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.ward_id = NEW.ward_id AND s.starts_at >= NEW.starts_at
            AND NOT EXISTS (SELECT 1 FROM policy_step AS off
                WHERE off.calls_off_id = s.id))""",
        "no two versions at one instant on one ward",
    ),
    "not_begun": (
        "INSERT",
        """NEW.kind = 'called-off' AND NOT EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.id = NEW.calls_off_id AND s.version_id = NEW.version_id
            AND s.starts_at > NEW.at)""",
        "only what has not begun is called off",
    ),
}

GUARDS = Guards(
    "policy_life",
    "0002_guard_the_steps",
    {
        f"{TABLE}_{name}": f"BEFORE {verb} ON {TABLE} "
        f"{f'WHEN {when} ' if when else ''}"
        f"BEGIN SELECT RAISE(ABORT, '{TABLE}: {says}'); END"
        for name, (verb, when, says) in _WHENS.items()
    },
    (TABLE,),
)
guard, unguard, guard_names = GUARDS.guard, GUARDS.unguard, GUARDS.names
