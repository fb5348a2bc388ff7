"""A walk as files: CSV, GPX 1.1, GeoJSON (RFC 7946), and the plan itself as JSON."""

from __future__ import annotations

import datetime
from os import PathLike
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from maturity.stored_walk import safe_name
from maturity.tables import write_bytes, write_csv, write_json
from maturity.walk.plan import WalkPlan
from maturity.walk.stops import Round, Stop
from maturity.walk.tree_map import BlockTree

_GPX = "http://www.topografix.com/GPX/1/1"
_COLUMNS = ("round", "stop", "block", "row", "tree", "fruit", "side", "height", "dry", "lat", "lon")
#: Seven decimals of a degree are about a centimetre.
_DECIMALS = 7


def default_folder(block: str, moment: datetime.datetime) -> Path:
    """Folder of a walk where nobody names one."""
    return Path(f"walk-{safe_name(block)}-{moment:%Y-%m-%d}")


def write_walk_csv(path: str | PathLike[str], plan: WalkPlan) -> None:
    """Write a row for each fruit to take, in walking order."""
    rows = [
        {
            "round": number,
            "stop": stop.number,
            "block": plan.block,
            "row": stop.row,
            "tree": stop.tree,
            "lat": stop.lat,
            "lon": stop.lon,
            **vars(fruit),
        }
        for number, one in enumerate(plan.rounds, 1)
        for stop in one.stops
        for fruit in stop.fruit
    ]
    write_csv(path, _COLUMNS, rows)


def write_gpx(
    path: str | PathLike[str], plan: WalkPlan, block_point: tuple[float, float] | None
) -> None:
    """Write waypoints and a route for each round; without tree positions, the block's point."""
    root = ElementTree.Element("gpx", {"xmlns": _GPX, "version": "1.1", "creator": "libmaturity"})
    metadata = ElementTree.SubElement(root, "metadata")
    _text(metadata, "name", f"Walk, block {plan.block}, {plan.moment:%Y-%m-%d}")
    _text(metadata, "desc", f"{plan.design.trees} trees, seed {plan.seed}")
    if plan.trees.has_positions:
        for one in plan.rounds:
            for stop in one.stops:
                point = _point(root, "wpt", stop.lat, stop.lon)
                _text(point, "name", f"{stop.number}: {plan.block}/{stop.tree}")
                _text(point, "desc", _fruit_text(stop))
        for number, one in enumerate(plan.rounds, 1):
            _add_route(root, number, one)
    elif block_point is not None:
        point = _point(root, "wpt", *block_point)
        _text(point, "name", f"Block {plan.block}")
    ElementTree.indent(root, " ")
    text = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    write_bytes(path, text + b"\n")


def _add_route(root: ElementTree.Element, number: int, one: Round) -> None:
    numbers = {stop.tree: stop.number for stop in one.stops}
    route = ElementTree.SubElement(root, "rte")
    _text(route, "name", f"Round {number}")
    for tree in one.path:
        point = _point(route, "rtept", tree.lat, tree.lon)
        if tree.tree in numbers:
            _text(point, "name", f"{numbers[tree.tree]}: tree {tree.tree}")
        else:
            _text(point, "name", f"row {tree.row}, turn at tree {tree.tree}")


def _point(
    parent: ElementTree.Element, kind: str, lat: float | None, lon: float | None
) -> ElementTree.Element:
    if lat is None or lon is None:
        raise ValueError("a tree without position cannot stand in a GPX file")
    where = {"lat": f"{lat:.{_DECIMALS}f}", "lon": f"{lon:.{_DECIMALS}f}"}
    return ElementTree.SubElement(parent, kind, where)


def _text(parent: ElementTree.Element, name: str, text: str) -> None:
    ElementTree.SubElement(parent, name).text = text


def _fruit_text(stop: Stop) -> str:
    return "; ".join(
        f"fruit {one.fruit}: {one.side} {one.height}{', dry' if one.dry else ''}"
        for one in stop.fruit
    )


def write_geojson(
    path: str | PathLike[str], plan: WalkPlan, block_point: tuple[float, float] | None
) -> None:
    """Write a point for each tree (no geometry where its position is not known), a line a round."""
    features: list[dict[str, Any]] = []
    if block_point is not None:
        features.append(
            _feature(
                {"type": "Point", "coordinates": _position(*block_point)},
                {"kind": "block", "block": plan.block, "seed": plan.seed},
            )
        )
    for number, one in enumerate(plan.rounds, 1):
        for stop in one.stops:
            fields = {
                "kind": "tree",
                "block": plan.block,
                "round": number,
                "stop": stop.number,
                "row": stop.row,
                "tree": stop.tree,
                "fruit": _fruit_text(stop),
            }
            point = None
            if stop.lat is not None and stop.lon is not None:
                point = {"type": "Point", "coordinates": _position(stop.lat, stop.lon)}
            features.append(_feature(point, fields))
        line = [_tree_position(tree) for tree in one.path]
        if plan.trees.has_positions and len(line) > 1:
            features.append(
                _feature(
                    {"type": "LineString", "coordinates": line},
                    {"kind": "route", "round": number, "length_m": one.length_m},
                )
            )
    write_json(path, {"type": "FeatureCollection", "features": features})


def _feature(geometry: dict[str, Any] | None, fields: dict[str, Any]) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": fields}


def _position(lat: float, lon: float) -> list[float]:
    """Longitude first, as RFC 7946 asks."""
    return [round(lon, _DECIMALS), round(lat, _DECIMALS)]


def _tree_position(tree: BlockTree) -> list[float]:
    return [] if tree.lat is None or tree.lon is None else _position(tree.lat, tree.lon)
