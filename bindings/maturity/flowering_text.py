"""What a block's flowerings come to, in words for the screen and the report."""

from __future__ import annotations

from dataclasses import dataclass

from maturity.block_visit import BlockVisit, in_100, mean_range, share_range
from maturity.flowering_rows import flowering_rows

#: What the chance of one flowering means, beside it wherever it is shown.
ALONE = "each against the same rule, as if it were the block"


@dataclass(frozen=True)
class FloweringText:
    """The cells of one flowering."""

    name: str
    crop: str
    mean: str
    share: str
    chance: str
    fruit: str

    def sentence(self) -> str:
        """All in one line."""
        return (
            f"Flowering {self.name}: {self.chance}; mature {self.share}; mean {self.mean}; "
            f"{self.crop} of the crop; {self.fruit}."
        )


def flowering_texts(visit: BlockVisit) -> list[FloweringText]:
    """One for each flowering; empty where the tables name fewer than two."""
    texts = []
    for row in flowering_rows(visit.flowerings):
        mean = share = crop = "not known"
        if row["mean_dm_pct"] is not None:
            mean = mean_range(row["mean_dm_pct"], row["mean_dm_low_pct"], row["mean_dm_high_pct"])
        if row["share_mature"] is not None:
            share = share_range(row["share_mature"], row["share_low"], row["share_high"])
        if row["crop_share"] is not None:
            crop = share_range(row["crop_share"], row["crop_share_low"], row["crop_share_high"])
        ready = row["readiness_in_100"]
        chance = "chance not known" if ready is None else f"{in_100(ready)} in 100 chance"
        fruit = f"{row['fruit']} fruit, {row['fruit_with_oven']} with oven"
        if row["fruit_with_meter"]:
            fruit += f", {row['fruit_with_meter']} with meter"
        texts.append(FloweringText(row["flowering"], crop, mean, share, chance, fruit))
    return texts


def flowering_sentences(visit: BlockVisit) -> list[str]:
    """One line for each flowering, and what they are; empty where fewer than two are named."""
    lines = [text.sentence() for text in flowering_texts(visit)]
    return [f"By flowering ({ALONE}):", *lines] if lines else []
