"""Plan of every photo: which fruit, camera, board, light, and what else lies about."""

from __future__ import annotations

import datetime
from dataclasses import asdict, dataclass, field
from typing import Any

import numpy as np

from fruit_shape import Solid
from layout import MARKER_CENTRES, TILE_MM, TREE_CARD_MM, Board, NoRoom
from orchard import BLOCKS, BlockVisit, Fruit, generator
from sampling import sample
from silhouette import Camera

#: Lens of a common phone's main camera, as 35 mm equivalent.
FOCAL_35MM = 26
_DIAGONAL_35MM = 43.2666
BOARD_KINDS = ("white", "grey", "white", "blue", "timber", "grey", "green")
#: EXIF orientations that phones write: 1 as held, 6 and 8 a quarter turn, 3 upside down.
ORIENTATIONS = (1, 1, 6, 1, 8, 3, 1, 1, 6)


@dataclass
class PhotoPlan:
    """Everything about one photo, in plain values where it goes to the renderer."""

    index: int
    name: str
    block: str
    tree: int
    taken_at: datetime.datetime
    fruit: list[Fruit]
    board: Board
    camera: Camera
    tilt_deg: float
    light: str
    board_kind: str
    ground: str
    tiles: bool
    tree_card: bool
    objects: list[dict[str, Any]] = field(default_factory=list)
    problem: str | None = None
    orientation: int = 1
    markers: list[dict[str, Any]] = field(default_factory=list)


def _camera(rng: np.random.Generator, size: tuple[int, int], cut: bool) -> tuple[Camera, float]:
    focal_px = FOCAL_35MM / _DIAGONAL_35MM * float(np.hypot(*size))
    portrait = size[1] > size[0]
    height = float(rng.uniform(760, 870)) if not portrait else float(rng.uniform(850, 950))
    tilt = float(rng.uniform(0, 6))
    towards = float(rng.uniform(-180, 180))
    roll = float(rng.normal(0, 3)) + (90.0 if portrait else 0.0)
    if rng.random() < 0.12:
        roll += 180
    offset = rng.normal(0, 14, 2)
    if cut:
        offset = np.array([-125.0, 10.0])
    lean = height * np.tan(np.radians(tilt))
    # The person points the phone at the board: what a tilt shifts, the hand takes back.
    position = np.array(
        [
            offset[0] - lean * np.cos(np.radians(towards)),
            offset[1] - lean * np.sin(np.radians(towards)),
            height,
        ]
    )
    return Camera.looking_down(*size, focal_px, position, tilt, towards, roll), tilt


def stem_lengths(rng: np.random.Generator, count: int) -> list[float]:
    """Mostly trimmed stubs and scars (0 to 8 mm), now and then a stem left on (up to 180 mm)."""
    lengths = []
    for _ in range(count):
        kind = rng.choice(["scar", "stub", "short", "long"], p=[0.3, 0.45, 0.19, 0.06])
        span = {"scar": (0, 1), "stub": (3, 9), "short": (12, 45), "long": (90, 180)}[str(kind)]
        lengths.append(float(rng.uniform(*span)))
    return lengths


def _fits(board: Board, camera: Camera, cut: bool) -> bool:
    """Every marker well inside the frame; every fruit too, but for the photo with a cut one."""
    corners = [
        [x + dx, y + dy, 0.0] for x, y in MARKER_CENTRES for dx in (-35, 35) for dy in (-35, 35)
    ]
    markers = camera.project(np.array(corners))
    inside = np.all((markers > 8) & (markers < [camera.width - 9, camera.height - 9]))
    cut_fruit = 0
    for one in board.fruit:
        hidden = np.column_stack([one.hidden, np.zeros(len(one.hidden))])
        seen = camera.project(hidden)
        whole = np.all((seen > 6) & (seen < [camera.width - 7, camera.height - 7]))
        cut_fruit += not whole
        if not whole:
            beyond = max(-seen[:, 0].min(), seen[:, 0].max() - camera.width)
            if beyond < 12 or beyond > 0.5 * np.ptp(seen[:, 0]):
                return False
    return bool(inside) and cut_fruit == (1 if cut else 0)


def lay_board(
    rng: np.random.Generator, fruit: list[Fruit], size: tuple[int, int], wishes: dict[str, Any]
) -> tuple[Board, Camera, float]:
    """Camera and fruit, cards and things on a board, drawn again until all of it fits."""
    solids = [Solid(one.shape) for one in fruit]
    for _ in range(4000):
        camera, tilt = _camera(rng, size, wishes["problem"] == "cut_by_frame")
        board = Board(camera, rng)
        try:
            order = list(range(len(fruit)))
            if wishes["tiles"]:
                order = rng.permutation(len(fruit)).tolist()
            stems = wishes.get("stems_mm") or stem_lengths(rng, len(fruit))
            board.lay_fruit([solids[k] for k in order], stems, random_turn=wishes["random_turn"])
            if wishes["problem"] == "touching":
                board.lay_touching(0, 1)
            if not _fits(board, camera, wishes["problem"] == "cut_by_frame"):
                continue
            for place, number in enumerate(order):
                if wishes["tiles"]:
                    board.lay_card("tile", str(fruit[number].number), TILE_MM, place)
            if wishes["tree_card"]:
                one = fruit[0]
                text = f"{one.block}/{one.tree}/{one.date.isoformat()}"
                board.lay_card("tree_card", text, TREE_CARD_MM, None)
            for kind, place_size in wishes["things"]:
                board.lay_card(kind, "", place_size, None)
        except NoRoom:
            continue
        # Fruit go back into the order of their numbers.
        board.fruit = [board.fruit[order.index(k)] for k in range(len(fruit))]
        return board, camera, tilt
    raise RuntimeError("no layout found")


#: Things that lie about: the room each takes (mm), and how often it is there.
_THINGS = {
    "leaf": ((95.0, 34.0), 0.3),
    "pen": ((142.0, 14.0), 0.2),
    "tag": ((70.0, 36.0), 0.15),
    "coin": ((28.0, 28.0), 0.1),
}


def _wishes(
    rng: np.random.Generator, index: int, problem: str | None, count: int
) -> dict[str, Any]:
    things = [kind for kind, (_, chance) in _THINGS.items() if rng.random() < chance]
    if count >= 7 or problem == "cut_by_frame":
        things = things[:1]
    return {
        "problem": problem,
        "tiles": index % 2 == 0,
        "tree_card": index % 5 == 3,
        "random_turn": bool(rng.random() < 0.25),
        "things": [(kind, _THINGS[kind][0]) for kind in things],
    }


def draw_markers(rng: np.random.Generator) -> list[dict[str, Any]]:
    """Four cut and taped squares: each a little off its place and a little turned."""
    return [
        {
            "id": marker,
            "centre": (np.array(centre) + rng.normal(0, 0.3, 2)).tolist(),
            "turn_deg": float(rng.normal(0, 0.7)),
        }
        for marker, centre in enumerate(MARKER_CENTRES)
    ]


def _problems(photos: list[tuple[BlockVisit, int]]) -> dict[int, str]:
    """The photos with something wrong on purpose, by their place in the season."""
    found: dict[int, str] = {}
    wanted = {("Weir", 1): "blurred", ("Quarry", 1): "cut_by_frame", ("Saddle", 0): "touching",
              ("Saddle", 1): "leaf_on_fruit"}  # fmt: skip
    for place, (visit, group) in enumerate(photos):
        kind = wanted.get((visit.block.name, visit.visit))
        if kind is None or kind in found.values():
            continue
        count = len(visit.photographed[group])
        if count <= 6 and group >= 1 and not (kind == "cut_by_frame" and count > 5):
            found[place] = kind
    return found


def plan_season() -> tuple[list[BlockVisit], list[PhotoPlan]]:
    """All block visits and all photos, the same every time."""
    visits = [sample(block, number) for number in (0, 1) for block in BLOCKS]
    photos = [(visit, k) for visit in visits for k in range(len(visit.photographed))]
    problems = _problems(photos)
    plans = []
    for index, (visit, group) in enumerate(photos):
        plans.append(_plan_photo(index, visit, group, problems.get(index)))
    return visits, plans


def _plan_photo(index: int, visit: BlockVisit, group: int, problem: str | None) -> PhotoPlan:
    rng = generator(4, index)
    fruit = visit.photographed[group]
    portrait = index % 7 == 5 and problem is None
    size = (1500, 2000) if portrait else (2000, 1500)
    wishes = _wishes(rng, index, problem, len(fruit))
    board, camera, tilt = lay_board(rng, fruit, size, wishes)
    light = ["overcast", "overcast", "sun", "overcast", "window", "sun", "overcast"][index % 7]
    start = datetime.datetime.combine(visit.date, datetime.time(6, 50))
    start += datetime.timedelta(minutes=65 * (visit.block.number - 1) + 9 * group)
    start += datetime.timedelta(seconds=int(rng.integers(0, 300)))
    plan = PhotoPlan(
        index=index,
        name=f"{visit.block.name}/IMG_{1204 + 37 * index // 5 + 212 * visit.visit:04d}.jpg",
        block=visit.block.name,
        tree=fruit[0].tree,
        taken_at=start,
        fruit=fruit,
        board=board,
        camera=camera,
        tilt_deg=tilt,
        light=light,
        board_kind=BOARD_KINDS[(3 * index + index // 7) % 7],
        ground=["soil", "concrete", "grass"][index % 3],
        tiles=wishes["tiles"],
        tree_card=wishes["tree_card"],
        problem=problem,
        orientation=ORIENTATIONS[index % 9],
        markers=draw_markers(rng),
    )
    for card in board.cards:
        if card.kind in _THINGS:
            plan.objects.append({"kind": card.kind, "centre": card.centre, "turn_deg": _turn(rng)})
    if problem == "leaf_on_fruit":
        one = board.fruit[-1]
        away = one.rotation[:, 1] * 0.42 * fruit[-1].shape.width_mm
        plan.objects.append(
            {
                "kind": "leaf",
                "centre": (one.origin + away)[:2].tolist(),
                "turn_deg": float(rng.uniform(0, 180)),
                "height_mm": fruit[-1].shape.thickness_mm + 4,
                "on_fruit": fruit[-1].number,
            }
        )
    for sampled in fruit:
        sampled.photo = plan.name
    return plan


def _turn(rng: np.random.Generator) -> float:
    """A little more or less than straight, either way round."""
    return float(rng.normal(0, 7) + 180 * rng.integers(0, 2))


def scene_values(plan: PhotoPlan) -> dict[str, Any]:
    """What the renderer needs, as plain values."""
    rng = generator(5, plan.index)
    fruits = []
    for one, placed in zip(plan.fruit, plan.board.fruit):
        fruits.append(
            {
                "shape": asdict(one.shape),
                "rotation": placed.rotation.tolist(),
                "origin": placed.origin.tolist(),
                "stem_mm": placed.stem_length_mm,
                "stem_bend": rng.normal(0, 0.12, 2).tolist(),
                "yellow": float(np.clip(rng.normal(0.25 + 0.06 * (one.dm_pct - 15), 0.18), 0, 1)),
                "blush": float(rng.choice([0, 0, 0.4, 0.75]) * rng.uniform(0.6, 1)),
                "blush_from": rng.normal(0, 1, 3).tolist(),
                "pattern": rng.uniform(-50, 50, 3).tolist(),
                "sap": float(rng.choice([0.0, 0.0, 0.5, 1.0])),
                "scars": float(rng.choice([0.0, 0.3, 0.8])),
                "lenticels": float(rng.uniform(0.2, 0.8)),
            }
        )
    cards = [asdict(card) for card in plan.board.cards if card.kind in ("tile", "tree_card")]
    return {
        "camera": plan.camera.to_dict(),
        "light": plan.light,
        "light_turn_deg": float(rng.uniform(-180, 180)),
        "sun_height_deg": float(rng.uniform(28, 52)),
        "board": plan.board_kind,
        "board_turn_deg": float(rng.normal(0, 0.4)),
        "dust": float(rng.choice([0.0, 0.3, 1.0])),
        "ground": plan.ground,
        "pattern": rng.uniform(-50, 50, 3).tolist(),
        "markers": plan.markers,
        "cards": cards,
        "objects": plan.objects,
        "fruits": fruits,
    }
