"""The maturity walk: which trees, which way, enough or go on, what it gave."""

from maturity.walk.plan import WalkPlan, plan_walk
from maturity.walk.progress import WalkProgress, walk_progress

__all__ = ["WalkPlan", "WalkProgress", "plan_walk", "walk_progress"]
