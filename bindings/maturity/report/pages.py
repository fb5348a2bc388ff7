"""What the report says of each block: plain texts and numbers, ready for the template."""

from __future__ import annotations

from dataclasses import dataclass, field

from maturity import _core
from maturity.block_visit import DECISION_WORDS, BlockVisit, in_100, mean_range, share_range
from maturity.flowering_plan import plan_sentences
from maturity.flowering_rows import not_yet_alone, ready_alone
from maturity.flowering_text import FloweringText, flowering_texts
from maturity.outlook import Outlook
from maturity.plain_text import as_sentence
from maturity.scoring import SeasonScore

#: States in the order of what they ask for.
_ORDER = tuple(
    DECISION_WORDS[one] for one in ("ready", "sample_more", "not_cleared", "not_yet", None)
)
#: What to do, where the decision alone does not say it.
_NEXT_STEPS = {
    "ready": "Pick by your own rule: check the picked fruit, and re-read labels and local rules "
    "first.",
    "not_yet": "Wait, and sample again at the next visit.",
    "sample_more": "Read more fruit before deciding.",
    "not_cleared": "Do not pick: first complete the spray record, or wait until its periods "
    "are over.",
    None: "Mend what is named above, then score again.",
}


@dataclass
class Standing:
    """The state of a block under one row of policy, at one visit."""

    visit: BlockVisit
    outlook: Outlook | None

    @property
    def decision(self) -> str:
        """Decision in words."""
        return DECISION_WORDS[self.visit.decision]

    @property
    def style(self) -> str:
        """Name of the drawn edge; the words say the same."""
        return self.visit.decision or "no_estimate"

    @property
    def next_steps(self) -> list[str]:
        """What next, in sentences."""
        steps = []
        if self.visit.plan is not None and self.visit.decision == "sample_more":
            steps += [*plan_sentences(self.visit.plan), *self.visit.flowering_hold]
        elif self._lacking and self.visit.decision == "sample_more":
            steps += ["Make good what the flowerings lack.", *self._lacking]
        elif self.visit.walk_hold is not None and self.visit.decision == "sample_more":
            steps.append("Go by the walk: `maturity walk` says how many more and where.")
        else:
            steps.append(_NEXT_STEPS[self.visit.decision])
        if self.visit.decision == "ready":
            steps += [
                f"Flowering {name} by itself is not yet mature: leave it where crews can tell "
                "which is which."
                for name in not_yet_alone(self.visit.flowerings)
            ]
        steps += [f"F{said[1:]}." for said in ready_alone(self.visit.flowerings)]
        if self.outlook is not None and self.visit.latest and self.visit.decision != "ready":
            steps += [self.outlook.sentence(), *self.outlook.fall_sentences()]
            steps += filter(None, [self.outlook.range_sentence()])
        return steps

    @property
    def _lacking(self) -> list[str]:
        """What keeps the flowerings from being joined, or the block from being ready."""
        found = self.visit.flowerings
        unjoined = [] if found is None or found.joined else list(found.sentences)
        return self.visit.flowering_hold or unjoined

    @property
    def mean_text(self) -> str:
        """Mean dry matter with its interval."""
        row = self.visit.to_row()
        if row["mean_dm_pct"] is None or row["mean_dm_low_pct"] is None:
            return "not known"
        return mean_range(row["mean_dm_pct"], row["mean_dm_low_pct"], row["mean_dm_high_pct"])

    @property
    def share_text(self) -> str:
        """Share mature with its interval."""
        row = self.visit.to_row()
        if row["share_mature"] is None or row["share_low"] is None:
            return "not known"
        return share_range(row["share_mature"], row["share_low"], row["share_high"], " fruit")

    @property
    def chance_text(self) -> str:
        """Readiness for a column whose head says what it is the chance of."""
        readiness = None if self.visit.estimate is None else self.visit.estimate.readiness
        return "not known" if readiness is None else f"{in_100(readiness)} in 100"

    @property
    def flowerings(self) -> list[FloweringText]:
        """Each flowering, where the tables name two or more."""
        return flowering_texts(self.visit)

    @property
    def flowering_text(self) -> str:
        """How the flowerings make the block."""
        found = self.visit.flowerings
        if found is None:
            return ""
        if not found.joined:
            return "The block is not joined from them: its figures are those of all fruit together."
        return (
            "The block is joined from them by their shares of the crop. Alone: against the same "
            "rule, as if it were the block; once cleared, crews that can tell them apart may pick "
            "one before the other."
        )

    @property
    def shape_text(self) -> str:
        """What shape adds here."""
        estimate = self.visit.estimate
        if estimate is None or estimate.p_noshape is None:
            return "Shape is not used in this estimate."
        if "shape_adds_nothing" in estimate.flags:
            return "Shape adds no usable information here."
        r_squared = estimate.shape_r_squared
        explained = ""
        if r_squared is not None:
            explained = (
                f" Shape is estimated to explain {100 * r_squared:.0f} in 100 of the variance of "
                "dry matter between fruit."
            )
        nothing = 100 * estimate.p_noshape
        return f"Chance that shape says nothing here: {nothing:.0f} in 100.{explained}"

    @property
    def fruit_basis(self) -> str:
        """What the estimate of a single fruit rests on here, and what it does not."""
        used = self.visit.used
        counts = {"oven": used["fruit_with_oven"], "meter": used["fruit_with_meter"]}
        read = " and ".join(name for name, count in counts.items() if count)
        estimate = self.visit.estimate
        parts = [f"{read} readings"] if read else []
        if estimate is not None and estimate.p_noshape is not None:
            if "shape_adds_nothing" not in estimate.flags:
                return f"from {', '.join([*parts, 'shape'])} and block together."
            why = "Shape adds no usable information here"
        else:
            why = "Shape is not used here"
        together = " together" if parts else ""
        return (
            f"from {' and '.join([*parts, 'block'])}{together}. {why}: fruit that were not read "
            "are about the block's average."
        )

    @property
    def doubts(self) -> list[str]:
        """Flags in sentences, and notes."""
        flags = [] if self.visit.estimate is None else self.visit.estimate.flag_sentences
        return flags + [f"{as_sentence(note)}." for note in self.visit.notes]


@dataclass
class BlockPage:
    """One block: its latest standings, all visits, and what was left out."""

    block: str
    cultivar: str
    latest: list[Standing] = field(default_factory=list)
    standings: list[Standing] = field(default_factory=list)
    silent: str | None = None
    left_out: list[tuple[str, str]] = field(default_factory=list)


def block_pages(score: SeasonScore) -> list[BlockPage]:
    """A page for each block, in the order of blocks.csv."""
    pages = []
    flags = {**_core.photo_flag_sentences(), **_core.fruit_flag_sentences()}
    for row in score.season.tables["blocks"].rows:
        page = BlockPage(
            row["block"], row["cultivar"], silent=score.silent_blocks.get(row["block"])
        )
        for visit in score.visits:
            if visit.block != page.block:
                continue
            outlook = next((one for one in score.outlooks if one.belongs_to(visit)), None)
            standing = Standing(visit, outlook)
            page.standings.append(standing)
            if visit.latest:
                page.latest.append(standing)
        for one in score.left_out:
            if one.block == page.block:
                what = one.what if one.date is None else f"{one.date.isoformat()}: {one.what}"
                page.left_out.append((what, with_sentences(one.reason, flags)))
        pages.append(page)
    return pages


def summary(pages: list[BlockPage]) -> list[tuple[str, list[str]]]:
    """Blocks by state, those that can be acted on first: (state, names)."""
    states: dict[str, list[str]] = {words: [] for words in _ORDER}
    for page in pages:
        for one in page.latest:
            market = "" if one.visit.market is None else f" ({one.visit.market})"
            states[one.decision].append(page.block + market)
        if not page.latest:
            states[DECISION_WORDS[None]].append(page.block)
    return [(words, names) for words, names in states.items() if names]


def with_sentences(reason: str, flags: dict[str, str]) -> str:
    """A reason made of flag names, with what each flag means."""
    names = reason.split(", ")
    if not all(name in flags for name in names):
        return reason
    return " ".join(f"{name}: {flags[name]}" for name in names)
