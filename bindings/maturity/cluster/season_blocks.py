"""The blocks of a season scored on a Dask cluster, several at the same time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from maturity.block_scoring import BlockScored, BlockTask, ScoreBlocks, score_block
from maturity.cluster.dask_cluster import TaskLost, run_tasks


def score_on(client: Any) -> ScoreBlocks:
    """What scores blocks on the workers of a client; a lost worker's blocks go to others."""

    def score(tasks: Iterable[BlockTask]) -> Iterator[tuple[BlockTask, BlockScored]]:
        lost: list[BlockTask] = []
        for task, scored in run_tasks(client, score_block, tasks):
            if isinstance(scored, TaskLost):
                lost.append(task)
            else:
                yield task, scored
        # One block may be what costs every worker its life; those beside it must not suffer.
        for task, scored in run_tasks(client, score_block, lost, one_by_one=True):
            if isinstance(scored, TaskLost):
                scored = BlockScored(silent=f"{scored}; score it on one machine")
            yield task, scored

    return score
