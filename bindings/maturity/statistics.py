"""Plain statistics under their Python names."""
from maturity import _core


def __getattr__(name):
    return getattr(_core, name)


dry_matter_pct = (
    acceptance_probability
) = agreement = degree_days = proportion_interval = tolerance_factor = None
