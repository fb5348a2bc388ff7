"""What a block's flowerings come to, as rows, columns, fields and sentences."""

from __future__ import annotations

from typing import Any

from maturity import _core


#: Last column of a table that has a row for each visit.
JOINED_BY = "flowerings_joined_by"


def flowering_rows(joined: _core.JoinedEstimate | None) -> list[dict[str, Any]]:
    """One row for each flowering; unknown is None. Empty where none is named."""
    rows = []
    for one in [] if joined is None else joined.flowerings:
        estimate = one.estimate
        mean = estimate.mean_dm_interval or (None, None)
        share = estimate.share_interval or (None, None)
        crop = one.crop_share_interval or (None, None)
        rows.append(
            {
                "flowering": one.name,
                "readiness_in_100": estimate.readiness,
                "estimate_decision": estimate.decision,
                "mean_dm_pct": estimate.mean_dm_pct,
                "mean_dm_low_pct": mean[0],
                "mean_dm_high_pct": mean[1],
                "share_mature": estimate.share_mature,
                "share_low": share[0],
                "share_high": share[1],
                "crop_share": one.crop_share,
                "crop_share_low": crop[0],
                "crop_share_high": crop[1],
                "fruit": estimate.counts.fruit,
                "fruit_with_oven": estimate.counts.oven_fruit,
                "fruit_with_meter": estimate.counts.meter_fruit,
            }
        )
    return rows


def not_yet_alone(joined: _core.JoinedEstimate | None) -> list[str]:
    """Flowerings with a part of the crop of a ready block that by themselves are not yet mature."""
    if joined is None or joined.block.decision != "ready":
        return []
    return [
        one.name
        for one in joined.flowerings
        if one.estimate.decision == "not_yet" and one.crop_share
    ]


def ready_alone(joined: _core.JoinedEstimate | None) -> list[str]:
    """Of each flowering that meets the rule while the block does not: that it may be picked."""
    if joined is None or joined.block.decision == "ready":
        return []
    return [
        f"flowering {one.name} by itself meets the rule: where crews can tell which is which it "
        "may be picked first, once the clearance is confirmed"
        for one in joined.flowerings
        if one.estimate.decision == "ready"
    ]


def flowering_columns(joined: _core.JoinedEstimate | None) -> dict[str, Any]:
    """Columns of a table that has a row for each visit: flowering_1, flowering_1_..., and so on."""
    columns: dict[str, Any] = {}
    for number, row in enumerate(flowering_rows(joined), start=1):
        columns[f"flowering_{number}"] = row.pop("flowering")
        columns.update({f"flowering_{number}_{name}": value for name, value in row.items()})
    return columns


def joined_by(joined: _core.JoinedEstimate | None) -> dict[str, str]:
    """The last column, of a block whose tables name flowerings: how its figures were joined.

    "counted", "counted_on_some", "sampled" or "given" says what the shares of the crop rest on
    (docs/flags.md); "not_joined": the figures are those of all fruit together.
    """
    if joined is None:
        return {}
    known = joined.crop_share_source if joined.joined else None
    return {JOINED_BY: "not_joined" if known is None else known}


def flowerings_dict(joined: _core.JoinedEstimate | None) -> dict[str, Any]:
    """Fields for JSON under the key "flowerings"; nothing where none is named."""
    if joined is None:
        return {}
    together = joined.together.to_dict()
    for name in ("fruit_estimates", "rule", "slopes"):
        together.pop(name, None)
    return {
        "flowerings": {
            "joined": joined.joined,
            "crop_share_source": joined.crop_share_source,
            "fruit_without_flowering": joined.fruit_without_flowering,
            "sentences": joined.sentences,
            "each": [
                {**row, "lacks": one.lacks, "reasons": one.estimate.reasons}
                for row, one in zip(flowering_rows(joined), joined.flowerings)
            ],
            "together": together,
        }
    }
