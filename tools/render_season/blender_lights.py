"""Light: overcast sky, hard sun with a blue sky, or a shed lit from one side (inside Blender)."""

from __future__ import annotations

from typing import Any

import bpy
import numpy as np
from mathutils import Matrix, Vector

Colour = tuple[float, float, float]

#: All light is halved so that bright things stay below the top of the linear picture.
_LEVEL = 0.5


def _sky(zenith: Colour, horizon: Colour, strength: float) -> None:
    world = bpy.data.worlds.new("sky")
    bpy.context.scene.world = world
    world.use_nodes = True
    world.cycles.sampling_method = "NONE"
    tree = world.node_tree
    tree.nodes.clear()
    where = tree.nodes.new("ShaderNodeTexCoord")
    split = tree.nodes.new("ShaderNodeSeparateXYZ")
    mix = tree.nodes.new("ShaderNodeMixRGB")
    shine = tree.nodes.new("ShaderNodeBackground")
    output = tree.nodes.new("ShaderNodeOutputWorld")
    tree.links.new(where.outputs["Generated"], split.inputs[0])
    tree.links.new(split.outputs["Z"], mix.inputs["Fac"])
    mix.inputs["Color1"].default_value = (*horizon, 1)
    mix.inputs["Color2"].default_value = (*zenith, 1)
    tree.links.new(mix.outputs[0], shine.inputs["Color"])
    shine.inputs["Strength"].default_value = strength * _LEVEL
    tree.links.new(shine.outputs[0], output.inputs["Surface"])


def _towards(turn_deg: float, height_deg: float) -> Vector:
    turn, height = np.radians([turn_deg, height_deg])
    return Vector((np.cos(height) * np.cos(turn), np.cos(height) * np.sin(turn), np.sin(height)))


def _lamp(kind: str, direction: Vector, distance: float) -> Any:
    data = bpy.data.lights.new("lamp", kind)
    lamp = bpy.data.objects.new("lamp", data)
    facing = direction.to_track_quat("Z", "Y").to_matrix().to_4x4()
    lamp.matrix_world = Matrix.Translation(direction * distance) @ facing
    bpy.context.collection.objects.link(lamp)
    return data


def add(scene: dict[str, Any]) -> None:
    """The planned light."""
    turn = scene["light_turn_deg"]
    if scene["light"] == "sun":
        _sky((0.17, 0.27, 0.55), (0.36, 0.44, 0.58), 0.85)
        height = scene["sun_height_deg"]
        sun = _lamp("SUN", _towards(turn, height), 3.0)
        sun.energy = 1.9 / np.sin(np.radians(height)) * _LEVEL
        sun.color = (1.0, 0.89, 0.72)
        sun.angle = np.radians(0.53)
    elif scene["light"] == "window":
        _sky((0.50, 0.46, 0.42), (0.34, 0.31, 0.28), 0.55)
        window = _lamp("AREA", _towards(turn, 38.0), 1.7)
        window.shape = "RECTANGLE"
        window.size, window.size_y = 1.1, 0.9
        window.energy = 21.0 * _LEVEL
        window.color = (0.92, 0.97, 1.0)
    else:
        _sky((1.0, 1.0, 1.03), (0.62, 0.64, 0.68), 0.95)
