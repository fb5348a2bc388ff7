"""Photos by the million: measured on a Dask cluster, results as a Parquet dataset.

Needs optional packages, which are imported only when used: see `maturity.cluster.needs`.
"""

from maturity.cluster.dataset import dataset_results
from maturity.cluster.run import DatasetRun, measure_into_dataset

__all__ = ["DatasetRun", "dataset_results", "measure_into_dataset"]
