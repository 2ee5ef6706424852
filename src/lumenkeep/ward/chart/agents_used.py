"""What the skin was really cleaned with, whatever a plan says of it.

A plan names what may be used. The chart holds what was used: an agent that is barred
for the child, none, or one of which the policy does not speak. A form that offers only
what is right is filled in wrongly.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy

BESIDE = {
    "saline-only": "Sterile saline or water only",
    "none": "Nothing was used",
    "another": "Another one, of which the policy does not speak",
}
"""Words that can be charted with every policy, beside its own agents."""


def agents_used(policy: Policy) -> dict[str, str]:
    """Return every answer to what was used on the skin, with its words."""
    return {key: agent.label for key, agent in policy.agents.items()} | BESIDE
