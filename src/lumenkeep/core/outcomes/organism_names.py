"""Read an organism's name as a laboratory writes it: which taxon it means, or none.

Nothing is guessed and no spelling is corrected: a name that fits two taxa, or none, is
kept as it stands and asks. Which lists a taxon is on is a question of its own
(`organism_lists`), and so is whether two are the same (`organism_match`).
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

STRIPPED = re.compile(
    r"\b(isolated|presumptive|(light |moderate |heavy |scanty )?growth( of)?|"
    r"esbl|cpe|carbapenem resistant|mdr|multidrug resistant|"
    r"methicillin resistant|methicillin sensitive|vancomycin resistant|"
    r"mrsa|mssa|mrse|vre|cre|"
    r"\d+ of \d+( bottles)?)\b"
)
BELOW_SPECIES = re.compile(
    r"\s+(subsp|ssp|serovar|serotype|biotype|biovar|sequence type)\b.*$"
)
GENUS_WORDS = re.compile(r"\s+(sp|spp|species|nos)$")
NOT_X = re.compile(
    r"^(?P<genus>[a-z]+)(?: (?:sp|spp|species))? (?:not|non) (?P<other>[a-z]+)$"
)
SHORTEST_EPITHET = 3
MOST_NEAR, NEAR = 3, 0.7
"""So many names are offered, and how near (0 to 1) they must be."""
UNKNOWN, AMBIGUOUS, VAGUE, YEAST = "unknown", "ambiguous", "vague", "yeast"
GROUPS = ("set", "descriptor")


@dataclass(frozen=True, slots=True)
class Taxon:
    """What a name means.

    Parameters
    ----------
    name
        The name in use, or the text as it stands where it means no taxon.
    rank
        "species", "genus", "set", "descriptor", "yeast", "vague" (no
        identification), "ambiguous" or "unknown".
    genus
        The genus in use.
    once
        Earlier genera with the year in which each was left; None where the year is
        not known.
    holds, perhaps, without
        Members of a set or descriptor (species or genera); members that are worked
        both ways; members taken out.
    is_listed
        Whether the species stands in the year's data, or was only written so.
    """

    name: str
    rank: str
    genus: str | None = None
    once: tuple[tuple[str, int | None], ...] = ()
    holds: frozenset[str] = frozenset()
    perhaps: frozenset[str] = frozenset()
    without: frozenset[str] = frozenset()
    is_listed: bool = True

    @property
    def is_identified(self) -> bool:
        """Whether the name reaches genus at least."""
        return self.genus is not None


def plain(text: str) -> str:
    """Return a name in small letters, without points, commas, hyphens and slashes."""
    return " ".join(re.sub(r"[^a-z0-9 ]+", " ", text.casefold()).split())


@dataclass(frozen=True, slots=True)
class OrganismNames:
    """All names of a year, ready to be looked up; see `names_from_tables`."""

    species: Mapping[str, Taxon]
    genera: Mapping[str, Taxon]
    groups: Mapping[str, Taxon]
    spellings: Mapping[str, Taxon]
    by_epithet: Mapping[str, tuple[tuple[str, Taxon], ...]]
    yeast_genera: frozenset[str]
    read: dict[str, Taxon] = field(default_factory=dict)
    told_near: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def taxon(self, text: str) -> Taxon:
        """Return what a laboratory's name means; never raises."""
        found = self.read.get(text)
        if found is None:
            found = self.read[text] = self._read(text)
        return found

    def named(self, name: str) -> Taxon | None:
        """Return the species, genus or group of exactly this name in use."""
        return self.groups.get(name) or self.genera.get(name) or self.species.get(name)

    def near(self, text: str) -> tuple[str, ...]:
        """Return the names in use that a name not understood may have been meant for.

        The nearest first; nothing is corrected by it, somebody has to say yes.
        """
        found = self.told_near.get(text)
        if found is None:
            found = self.told_near[text] = self._near(plain(text))
        return found

    def _near(self, words: str) -> tuple[str, ...]:
        # A letter for the genus is how a laboratory shortens a name.
        known = {name: taxon.name for name, taxon in self.spellings.items()}
        known |= {plain(name): name for name in (*self.genera, *self.groups)}
        known |= {
            f"{name[0].lower()} {name.split()[1]}": name
            for name in self.species
            if words[1:2] == " "
        }
        close = difflib.get_close_matches(words, known, n=MOST_NEAR * 2, cutoff=NEAR)
        names = dict.fromkeys(known[one] for one in close)
        return tuple(names)[:MOST_NEAR]

    def _read(self, text: str) -> Taxon:
        outside, _, inside = text.partition("(")
        if not inside or not outside.strip():
            return self._one(text)
        first, second = self._one(outside), self._one(inside)
        if UNKNOWN in (first.rank, second.rank):
            whole = self._one(text)
            known = first if second.rank == UNKNOWN else second
            return known if whole.rank == UNKNOWN else whole
        if first.name == second.name or second.genus is None:
            return first
        # Two names side by side that do not agree: somebody has to say which.
        both = {first.name, second.name}
        label = first.genus == second.genus and "genus" in (first.rank, second.rank)
        return first if label else Taxon(text, AMBIGUOUS, perhaps=frozenset(both))

    def _one(self, text: str) -> Taxon:
        words = plain(text)
        for attempt in (words, " ".join(STRIPPED.sub(" ", words).split())):
            found = (
                self.spellings.get(attempt)
                or self._without(attempt)
                or self._genus(attempt)
                or self._species(BELOW_SPECIES.sub("", attempt))
            )
            if found is not None and found.rank == AMBIGUOUS:
                return replace(found, name=text.strip())
            if found is not None:
                return found
        return Taxon(text.strip(), UNKNOWN)

    def _genus(self, words: str) -> Taxon | None:
        bare = GENUS_WORDS.sub("", words)
        if " " in bare:
            return None
        exact = self.genera.get(bare.capitalize())
        if exact or bare == words:
            return exact
        return _only(t for name, t in self.genera.items() if _short(bare, name))

    def _without(self, words: str) -> Taxon | None:
        found = NOT_X.match(words)
        genus = found and self.genera.get(found["genus"].capitalize())
        if not found or not genus or genus.genus is None:
            return None
        taken = f"{genus.name} {found['other']}"
        return Taxon(
            f"{genus.name} sp., not {found['other']}",
            "descriptor",
            genus.genus,
            genus.once,
            frozenset({genus.name}),
            without=frozenset({taken}),
        )

    def _species(self, words: str) -> Taxon | None:
        first, _, epithet = words.partition(" ")
        if not epithet or " " in epithet or len(epithet) < SHORTEST_EPITHET:
            return None
        known = self.spellings.get(words)
        if known is not None:
            return known
        genus = self.genera.get(first.capitalize())
        if genus is not None:
            return Taxon(
                f"{genus.name} {epithet}",
                "species",
                genus.genus,
                genus.once,
                is_listed=False,
            )
        fits = {
            taxon.name: taxon
            for name, taxon in self.by_epithet.get(epithet, ())
            if _short(first, name)
        }
        if len(fits) > 1:
            return Taxon(words, AMBIGUOUS, perhaps=frozenset(fits))
        return next(iter(fits.values()), None)


def _short(short: str, name: str) -> bool:
    return name.casefold().startswith(short)


def _only(found: object) -> Taxon | None:
    kept = list(found)  # type: ignore[call-overload]
    return kept[0] if len(kept) == 1 else None
