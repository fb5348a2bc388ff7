"""The season folder: plain CSV files in, checked tables out. Nothing in it is ever modified."""

from maturity.season.problems import Problem, SeasonError
from maturity.season.season import Season, read_season

__all__ = ["Problem", "Season", "SeasonError", "read_season"]
