"""Triggers that hold the life of a policy version to its rules, whoever writes.

None is approved that was not proved, or by one
who drafted it; none is in force that was not approved; and on one ward each start or
end lies after all those before it, so two versions never meet at one instant.
"""

from __future__ import annotations

TABLE = "policy_step"
STAYS = f"{TABLE}: steps stay as they were written"
"""What is said to who would change a step."""

_WHENS = {
    # As every such guard, in the letters in which it was first written.
    "no_replace": (
        """EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.id = NEW.id OR s.calls_off_id = NEW.calls_off_id)""",
        "steps stay as they were written: no REPLACE",
    ),
    "proved_first": (
        """NEW.kind = 'approved' AND NOT EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.version_id = NEW.version_id AND s.kind = 'proved')""",
        "a version is proved before it is approved",
    ),
    "four_eyes": (
        """NEW.kind = 'approved' AND EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.version_id = NEW.version_id AND s.kind = 'drafted'
            AND s.by = NEW.by)""",
        "nobody approves what they drafted",
    ),
    "approved_first": (
        """NEW.kind = 'in-force' AND NOT EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.version_id = NEW.version_id AND s.kind = 'approved')""",
        "a version is approved before it is in force",
    ),
    "not_retired": (
        """NEW.kind IN ('approved', 'in-force')
            AND EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.version_id = NEW.version_id AND s.kind = 'retired'
            AND s.ward_id IS NULL)""",
        "a retired version is not used again",
    ),
    "one_at_a_time": (
        """NEW.ward_id IS NOT NULL AND EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.ward_id = NEW.ward_id AND s.starts_at >= NEW.starts_at
            AND NOT EXISTS (SELECT 1 FROM policy_step AS off
                WHERE off.calls_off_id = s.id))""",
        "no two versions at one instant on one ward",
    ),
    "not_begun": (
        """NEW.kind = 'called-off' AND NOT EXISTS (SELECT 1 FROM policy_step AS s
            WHERE s.id = NEW.calls_off_id AND s.version_id = NEW.version_id
            AND s.starts_at > NEW.at)""",
        "only what has not begun is called off",
    ),
}

RULES_OF_LIFE = {
    f"{TABLE}_{name}": f"BEFORE INSERT ON {TABLE} WHEN {when} "
    f"BEGIN SELECT RAISE(ABORT, '{TABLE}: {says}'); END"
    for name, (when, says) in _WHENS.items()
}
"""Name of each guard, and the rest of its ``CREATE TRIGGER``."""
