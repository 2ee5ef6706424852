"""Walk every way back of a branch beside the bed of `never_by_hand`."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING, Any

from tests.fakes import never_by_hand as hand

from lumenkeep.core.asepsis.way_back import WaysBack

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Bedside, Slip
    from lumenkeep.core.asepsis.way import WayBack


def planned_of(branch: Branch) -> dict[str, Any]:
    """Return what the plan says, in plain words and numbers."""
    facts, seconds = branch.setting.facts, branch.setting.seconds
    newborn = "newborn-intensive-care" in facts.get("unit", ())
    return {
        "dressing": next(iter(facts.get("dressing", ("none",)))),
        "soil": "yes" in facts.get("soil", ()),
        "newborn": newborn,
        "leaves": newborn or "yes" in facts.get("residue", ()),
        "swabs": branch.setting.swabs,
        "scrub_s": seconds.get("plan.scrub", 0),
        "dry_s": seconds.get("plan.dry", 0),
        "hub_s": seconds.get("plan.hub-scrub", 0),
        "tract_s": seconds.get("removal-press", 0),
    }


class Walked:
    """The ways back of one branch, told against the table of what never is."""

    def __init__(
        self, bedside: Bedside, branch: Branch, spares: dict[str, int] | None
    ) -> None:
        self.branch = branch
        self.ways = WaysBack(bedside, branch, spares)
        self.steps = [(act.step, act.seconds) for act in branch.acts]
        self.seen = 0
        bed = hand.bed_before(branch.procedure, planned_of(branch))
        self.beds = [bed]
        for step, seconds in self.steps:
            bed = deepcopy(bed)
            hand.done(bed, step, seconds)
            self.beds.append(bed)

    def undisturbed(self) -> list[str]:
        """Return what is wrong in the steps as written: nothing, or the table is."""
        bed = deepcopy(self.beds[0])
        said = list(hand.wrong_on_the_way(bed, self.steps, 0))
        return said + list(hand.wrong_at_the_end(bed))

    def wrong(self, *, second: int = 0) -> Iterator[tuple[str, str, str]]:
        """Yield step, slip and what never may be, of every way back and stop.

        Parameters
        ----------
        second
            Every so many-th act of a way back at which each slip happens again; 0 for
            none.
        """
        count = 0
        for place in range(len(self.steps)):
            for slip in self.ways.slips:
                found = self.ways.way_back(place, slip)
                if found is None:
                    continue
                bed = self._bed_after(found)
                yield from self._told(found, bed, slip.id)
                amid = self.ways.unfinished(found)
                if amid is not None:
                    bed_amid = deepcopy(self.beds[place])
                    hand.begun(bed_amid, self.steps[place][0])
                    hand.slipped(bed_amid, slip.id)
                    yield from self._told(amid, bed_amid, f"{slip.id}, amid")
                if not second or found.ending != "way-back":
                    continue
                for at in range(1, len(found.acts)):
                    count += 1
                    if count % second == 0:
                        yield from self._again(found, bed, at)

    def _bed_after(self, found: WayBack) -> hand.Bed:
        """Return the bed after a slip at a step; before it where it undoes the step."""
        undone = found.resumes == found.place
        bed = deepcopy(self.beds[found.place + (0 if undone else 1)])
        hand.slipped(bed, found.slip.id)
        return bed

    def _again(
        self, found: WayBack, bed: hand.Bed, at: int
    ) -> Iterator[tuple[str, str, str]]:
        for slip in self.ways.slips:
            again = self.ways.again(found, at, slip)
            if again is None:
                continue
            there = deepcopy(bed)
            undone = any(effect.loses == "used" for effect in slip.effects)
            for act in found.acts[: at + (0 if undone else 1)]:
                hand.done(there, act.step, act.seconds)
            hand.slipped(there, slip.id)
            name = f"{found.slip.id}, then {slip.id} at {found.acts[at].step.id}"
            yield from self._told(again, there, name)

    def _told(
        self, found: WayBack, bed: hand.Bed, name: str
    ) -> Iterator[tuple[str, str, str]]:
        self.seen += 1
        bed = deepcopy(bed)
        own = [(act.step, act.seconds) for act in found.acts]
        if found.ending == "way-back":
            rest = self.steps[found.resumes :]
            said = list(hand.wrong_on_the_way(bed, [*own, *rest], len(own)))
            said += hand.wrong_at_the_end(bed)
            said += self._left_out(found.slip, [step for step, _ in (*own, *rest)])
        else:
            for step, seconds in own:
                hand.done(bed, step, seconds)
            said = list(hand.wrong_at_a_stop(bed, [step for step, _ in own]))
        for says in dict.fromkeys(said):
            yield found.step, name, says

    def _left_out(self, slip: Slip, steps: list[Any]) -> list[str]:
        asked = hand.REDO.get(slip.id, ())
        if hand.in_order(asked, steps):
            return []
        return [f"leaves out one of: {', '.join(asked)}"]
