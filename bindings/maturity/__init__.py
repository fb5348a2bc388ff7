"""Fruit maturity, block by block, from photos and dry matter.

Every number comes with its error; what cannot be told is None (NaN in arrays) with a reason.
"""

from maturity.about import about
from maturity.blocks import estimate_block
from maturity.dry_matter import dry_matter_pct, judge_drying
from maturity.heat_units import degree_days
from maturity.photos import flag_sentences, measure_photos
from maturity.plain_statistics import (
    acceptance_probability,
    agreement,
    proportion_interval,
    tolerance_factor,
)
from maturity.planning import forecast_readiness, more_samples
from maturity.pooling import pool_blocks
from maturity.scoring import score_season
from maturity.season import read_season
from maturity.shapes import describe_outline, state_names
from maturity.views.register import add_views

add_views()

__all__ = [
    "about",
    "acceptance_probability",
    "agreement",
    "degree_days",
    "describe_outline",
    "dry_matter_pct",
    "estimate_block",
    "flag_sentences",
    "forecast_readiness",
    "judge_drying",
    "measure_photos",
    "more_samples",
    "pool_blocks",
    "proportion_interval",
    "read_season",
    "score_season",
    "state_names",
    "tolerance_factor",
]
