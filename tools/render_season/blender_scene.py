"""Render one planned photo (runs inside Blender): scene.json and pictures in, linear PNG out.

    blender -b --factory-startup --python blender_scene.py -- SCENE.json PICTURES OUT.png SAMPLES
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent))

import bpy  # noqa: E402
import numpy as np  # noqa: E402
from mathutils import Matrix  # noqa: E402

import blender_lights as lights  # noqa: E402
import blender_materials as materials  # noqa: E402
import things  # noqa: E402
from curved_shape import shape_from_values  # noqa: E402
from fruit_shape import Solid  # noqa: E402

_MM = 0.001


def add_mesh(
    name: str, mesh: things.Mesh, material: Any, smooth: bool = True, uv: bool = False
) -> Any:
    """A mesh object from millimetres."""
    vertices, faces = mesh
    data = bpy.data.meshes.new(name)
    data.vertices.add(len(vertices))
    data.vertices.foreach_set("co", (vertices * _MM).astype(np.float32).ravel())
    data.loops.add(faces.size)
    data.loops.foreach_set("vertex_index", faces.astype(np.int32).ravel())
    data.polygons.add(len(faces))
    data.polygons.foreach_set("loop_start", np.arange(0, faces.size, 4, dtype=np.int32))
    data.polygons.foreach_set("loop_total", np.full(len(faces), 4, dtype=np.int32))
    data.polygons.foreach_set("use_smooth", np.full(len(faces), smooth, dtype=bool))
    data.update(calc_edges=True)
    if uv:
        layer = data.uv_layers.new()
        # Vertices of a plate go bottom left, bottom right, top right, top left.
        layer.data.foreach_set("uv", np.array([0, 0, 1, 0, 1, 1, 0, 1], np.float32))
    data.materials.append(material)
    thing = bpy.data.objects.new(name, data)
    bpy.context.collection.objects.link(thing)
    return thing


def add_fruit(fruit: dict[str, Any], index: int) -> None:
    """Body and, apart from it, the stalk."""
    solid = Solid(shape_from_values(fruit["shape"]))
    body = add_mesh(f"fruit_{index}", solid.mesh(), materials.skin(fruit, f"skin_{index}"))
    rotation, origin = np.array(fruit["rotation"]), np.array(fruit["origin"])
    placed = np.eye(4)
    placed[:3, :3], placed[:3, 3] = rotation, origin * _MM
    body.matrix_world = Matrix(placed.tolist())
    start = rotation @ np.array([*solid.outline.stem, 0.0]) + origin
    dry = fruit["stem_mm"] < 2
    colour = (0.07, 0.045, 0.025) if dry else (0.12, 0.12, 0.045)
    bark = materials.plain(f"stalk_{index}", colour, 0.1, 0.7)
    add_mesh(f"stalk_{index}", things.stem(fruit, start), bark)


def _corners(centre: list[float], size: list[float], turn_deg: float) -> np.ndarray:
    turn = np.radians(turn_deg)
    corner = 0.5 * np.array([[-1, 1], [1, 1], [1, -1], [-1, -1]]) * np.array(size)
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return corner @ rotation.T + np.array(centre)


def add_paper(scene: dict[str, Any], pictures: Path) -> None:
    """Markers, number tiles and the tree's code card."""
    for marker in scene["markers"]:
        corners = _corners(marker["centre"], [60.0, 60.0], marker["turn_deg"])
        path = pictures / f"marker_{marker['id']}.png"
        look = materials.picture(path.stem, str(path))
        add_mesh(path.stem, things.plate(corners, 0.15), look, smooth=False, uv=True)
    for card in scene["cards"]:
        name = ("tile_" if card["kind"] == "tile" else "tree_") + card["text"].replace("/", "_")
        corners = _corners(card["centre"], card["size"], card["turn_deg"])
        look = materials.picture(name, str(pictures / f"{name}.png"))
        add_mesh(name, things.plate(corners, 0.3), look, smooth=False, uv=True)


def add_objects(scene: dict[str, Any], pictures: Path) -> None:
    """Leaves, a pen, a tag, a coin."""
    for thing in scene["objects"]:
        kind = thing["kind"]
        if kind == "leaf":
            add_mesh(kind, things.leaf(thing), materials.plain(kind, (0.16, 0.13, 0.035), 0.2, 0.5))
        elif kind == "pen":
            look = materials.plain(kind, (0.02, 0.03, 0.16), 0.5, 0.25)
            add_mesh(kind, things.cylinder(thing, 140.0, 5.0), look)
        elif kind == "coin":
            look = materials.plain(kind, (0.42, 0.38, 0.30), 0.8, 0.35)
            add_mesh(kind, things.disc(thing, 13.0, 2.0), look, smooth=False)
        else:
            corners = _corners(thing["centre"], [70.0, 36.0], thing["turn_deg"])
            look = materials.colour_picture(kind, str(pictures / "tag.png"))
            add_mesh(kind, things.plate(corners, 0.4), look, smooth=False, uv=True)


def add_board(scene: dict[str, Any]) -> None:
    """The board, 15 mm thick, and the ground below."""
    corners = _corners([0.0, 0.0], [800.0, 600.0], scene["board_turn_deg"])
    top = np.column_stack([corners[::-1], np.zeros(4)])
    below = top - [0.0, 0.0, 15.0]
    sides = np.array([[0, 1, 2, 3], [4, 5, 1, 0], [5, 6, 2, 1], [6, 7, 3, 2], [7, 4, 0, 3]])
    look = materials.board(scene["board"], scene["pattern"], scene["dust"])
    add_mesh("board", (np.vstack([top, below]), sides), look, smooth=False)
    around = _corners([0.0, 0.0], [6000.0, 6000.0], 0.0)
    look = materials.ground(scene["ground"], scene["pattern"])
    add_mesh("ground", things.plate(around, -140.0), look, smooth=False)


def add_camera(values: dict[str, Any]) -> None:
    """A pinhole as planned; Blender's camera looks along its own -z with y up."""
    rotation = np.array(values["rotation"])
    pose = np.eye(4)
    pose[:3, 0], pose[:3, 1], pose[:3, 2] = rotation[0], -rotation[1], -rotation[2]
    pose[:3, 3] = np.array(values["position"]) * _MM
    data = bpy.data.cameras.new("phone")
    data.sensor_fit = "HORIZONTAL"
    data.sensor_width = 36.0
    data.lens = values["focal_px"] * 36.0 / values["width"]
    data.clip_start, data.clip_end = 0.01, 20.0
    camera = bpy.data.objects.new("phone", data)
    camera.matrix_world = Matrix(pose.tolist())
    bpy.context.collection.objects.link(camera)
    bpy.context.scene.camera = camera


def set_render(values: dict[str, Any], out: str, samples: int) -> None:
    """Path tracing on one thread count, linear 16-bit picture."""
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    cycles = scene.cycles
    cycles.device = "CPU"
    cycles.samples, cycles.seed = samples, 1
    cycles.use_adaptive_sampling = cycles.use_denoising = False
    cycles.max_bounces, cycles.diffuse_bounces, cycles.glossy_bounces = 1, 1, 1
    cycles.caustics_reflective = cycles.caustics_refractive = False
    cycles.sample_clamp_indirect = 2.0
    cycles.filter_width = 1.2
    scene.render.threads_mode, scene.render.threads = "FIXED", 1
    render = scene.render
    render.resolution_x, render.resolution_y = values["width"], values["height"]
    render.resolution_percentage = 100
    render.filepath = out
    render.dither_intensity = 0.0
    settings = render.image_settings
    settings.file_format, settings.color_mode, settings.color_depth = "PNG", "RGB", "16"
    settings.compression = 15
    scene.view_settings.view_transform = "Raw"
    scene.view_settings.look = "None"
    scene.sequencer_colorspace_settings.name = "Raw"


def main() -> None:
    """Build and render."""
    scene_file, pictures, out, samples = sys.argv[sys.argv.index("--") + 1 :][:4]
    scene = json.loads(Path(scene_file).read_text(encoding="utf-8"))
    for thing in list(bpy.data.objects):
        bpy.data.objects.remove(thing)
    add_board(scene)
    add_paper(scene, Path(pictures))
    add_objects(scene, Path(pictures))
    for index, fruit in enumerate(scene["fruits"]):
        add_fruit(fruit, index)
    lights.add(scene)
    add_camera(scene["camera"])
    set_render(scene["camera"], out, int(samples))
    bpy.ops.render.render(write_still=True)


main()
