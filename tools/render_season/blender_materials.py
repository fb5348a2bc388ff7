"""Materials: fruit skin, boards, ground, paper and the rest, as node trees (inside Blender)."""

from __future__ import annotations

from typing import Any

import bpy

Colour = tuple[float, float, float]


class Nodes:
    """A material's node tree, with the few moves needed here."""

    def __init__(self, name: str) -> None:
        self.material = bpy.data.materials.new(name)
        self.material.use_nodes = True
        self.tree = self.material.node_tree
        self.tree.nodes.clear()
        self.shader = self.add("ShaderNodeBsdfPrincipled")
        self.shader.inputs["Specular"].default_value = 0.0
        self.shader.inputs["Roughness"].default_value = 0.9
        output = self.add("ShaderNodeOutputMaterial")
        self.link(self.shader.outputs[0], output.inputs["Surface"])
        self.where = self.add("ShaderNodeTexCoord").outputs["Object"]

    def add(self, kind: str, **settings: Any) -> Any:
        """A new node."""
        node = self.tree.nodes.new(kind)
        for name, value in settings.items():
            setattr(node, name, value)
        return node

    def link(self, source: Any, target: Any) -> None:
        """Connect, or set where the source is a plain value."""
        if isinstance(source, bpy.types.NodeSocket):
            self.tree.links.new(source, target)
        else:
            target.default_value = (*source, 1.0) if isinstance(source, tuple) else source

    def moved(self, offset: list[float], scale: Colour = (1, 1, 1)) -> Any:
        """Object coordinates (metres), scaled and shifted so that no two objects look alike."""
        node = self.add("ShaderNodeMapping")
        node.inputs["Location"].default_value = offset
        node.inputs["Scale"].default_value = scale
        self.link(self.where, node.inputs["Vector"])
        return node.outputs[0]

    def noise(self, vector: Any, scale: float, detail: float = 3.0) -> Any:
        """Smooth noise, 0..1."""
        node = self.add("ShaderNodeTexNoise")
        self.link(vector, node.inputs["Vector"])
        node.inputs["Scale"].default_value = scale
        node.inputs["Detail"].default_value = detail
        return node.outputs["Fac"]

    def ramp(self, value: Any, low: float, high: float) -> Any:
        """0 at `low`, 1 at `high`, smooth between."""
        node = self.add("ShaderNodeMapRange", interpolation_type="SMOOTHSTEP")
        self.link(value, node.inputs["Value"])
        node.inputs["From Min"].default_value = low
        node.inputs["From Max"].default_value = high
        return node.outputs["Result"]

    def times(self, first: Any, second: Any) -> Any:
        """Product."""
        node = self.add("ShaderNodeMath", operation="MULTIPLY")
        self.link(first, node.inputs[0])
        self.link(second, node.inputs[1])
        return node.outputs[0]

    def mix(self, share: Any, first: Any, second: Any) -> Any:
        """Colour from first (share 0) to second (share 1)."""
        node = self.add("ShaderNodeMixRGB")
        self.link(share, node.inputs["Fac"])
        self.link(first, node.inputs["Color1"])
        self.link(second, node.inputs["Color2"])
        return node.outputs["Color"]

    def bump(self, height: Any, strength: float, distance: float) -> None:
        """Small unevenness in the shading only; the outline stays the mesh's."""
        node = self.add("ShaderNodeBump")
        node.inputs["Strength"].default_value = strength
        node.inputs["Distance"].default_value = distance
        self.link(height, node.inputs["Height"])
        self.link(node.outputs[0], self.shader.inputs["Normal"])

    def finish(self, colour: Any, specular: float = 0.0, roughness: float = 0.9) -> Any:
        """Set the colour and gloss; the material."""
        self.link(colour, self.shader.inputs["Base Color"])
        self.shader.inputs["Specular"].default_value = specular
        self.shader.inputs["Roughness"].default_value = roughness
        return self.material


def plain(name: str, colour: Colour, specular: float = 0.0, roughness: float = 0.9) -> Any:
    """One colour with faint mottling."""
    nodes = Nodes(name)
    dark = tuple(0.8 * c for c in colour)
    mottled = nodes.mix(nodes.noise(nodes.moved([1, 2, 3]), 60, 1), dark, colour)
    return nodes.finish(mottled, specular, roughness)


def picture(name: str, path: str) -> Any:
    """Printed paper: the picture fills the face."""
    nodes = Nodes(name)
    image = nodes.add("ShaderNodeTexImage", interpolation="Closest")
    image.image = bpy.data.images.load(path)
    image.extension = "EXTEND"
    ink = nodes.mix(image.outputs["Color"], (0.022, 0.022, 0.024), (0.80, 0.80, 0.78))
    return nodes.finish(ink)


def colour_picture(name: str, path: str) -> Any:
    """A picture with its own colours."""
    nodes = Nodes(name)
    image = nodes.add("ShaderNodeTexImage")
    image.image = bpy.data.images.load(path)
    return nodes.finish(image.outputs["Color"])


def skin(fruit: dict[str, Any], name: str) -> Any:
    """Green to yellow-green skin: blush, lenticels, sap streaks, scars, a slight gloss."""
    nodes = Nodes(name)
    offset = fruit["pattern"]
    where = nodes.moved(offset)
    green = (0.085, 0.155, 0.030)
    yellow = (0.34, 0.33, 0.045)
    y = fruit["yellow"]
    low = tuple(a + (b - a) * max(0.0, y - 0.22) for a, b in zip(green, yellow))
    high = tuple(a + (b - a) * min(1.0, y + 0.30) for a, b in zip(green, yellow))
    colour = nodes.mix(nodes.ramp(nodes.noise(where, 14, 2), 0.3, 0.7), low, high)
    fine = nodes.noise(where, 260, 1)
    colour = nodes.mix(nodes.times(nodes.ramp(fine, 0.4, 0.75), 0.16), colour, (0.30, 0.36, 0.12))
    if fruit["blush"] > 0:
        side = nodes.add("ShaderNodeVectorMath", operation="DOT_PRODUCT")
        nodes.link(nodes.where, side.inputs[0])
        side.inputs[1].default_value = fruit["blush_from"]
        uneven = nodes.add("ShaderNodeMath", operation="MULTIPLY_ADD")
        nodes.link(nodes.noise(where, 22, 1), uneven.inputs[0])
        uneven.inputs[1].default_value = 0.05
        nodes.link(side.outputs["Value"], uneven.inputs[2])
        amount = nodes.times(nodes.ramp(uneven.outputs[0], 0.015, 0.085), fruit["blush"])
        colour = nodes.mix(amount, colour, (0.34, 0.075, 0.030))
    colour = _lenticels(nodes, where, colour, fruit["lenticels"])
    if fruit["sap"] > 0:
        streak = nodes.noise(nodes.moved(offset, (1.0, 5.0, 5.0)), 16)
        amount = nodes.times(nodes.ramp(streak, 0.64, 0.70), 0.55 * fruit["sap"])
        colour = nodes.mix(amount, colour, (0.035, 0.030, 0.014))
    if fruit["scars"] > 0:
        patch = nodes.noise(nodes.moved([o + 9 for o in offset]), 34, 3)
        amount = nodes.times(nodes.ramp(patch, 0.68, 0.72), 0.8 * fruit["scars"])
        colour = nodes.mix(amount, colour, (0.23, 0.17, 0.10))
    nodes.bump(nodes.noise(where, 420, 0), 0.12, 0.0004)
    return nodes.finish(colour, 0.36, 0.42)


def _lenticels(nodes: Nodes, where: Any, colour: Any, strength: float) -> Any:
    cells = nodes.add("ShaderNodeTexVoronoi")
    nodes.link(where, cells.inputs["Vector"])
    cells.inputs["Scale"].default_value = 240
    inside = nodes.add("ShaderNodeMath", operation="LESS_THAN")
    nodes.link(cells.outputs["Distance"], inside.inputs[0])
    inside.inputs[1].default_value = 0.17
    return nodes.mix(nodes.times(inside.outputs[0], strength), colour, (0.42, 0.44, 0.22))


_BOARDS: dict[str, Colour] = {
    "white": (0.74, 0.74, 0.72),
    "grey": (0.33, 0.335, 0.34),
    "blue": (0.055, 0.13, 0.36),
    "green": (0.045, 0.20, 0.105),
}


def board(kind: str, pattern: list[float], dust: float) -> Any:
    """The board's surface: painted or wood, with dirt and specks."""
    nodes = Nodes("board")
    if kind == "timber":
        colour = _timber(nodes, pattern)
    else:
        paint = _BOARDS[kind]
        worn = tuple(0.86 * c for c in paint)
        share = nodes.ramp(nodes.noise(nodes.moved(pattern), 5, 2), 0.35, 0.7)
        colour = nodes.mix(share, paint, worn)
    smear = nodes.noise(nodes.moved(pattern, (1.0, 2.5, 1.0)), 9, 3)
    smear_share = nodes.times(nodes.ramp(smear, 0.55, 0.8), 0.10 + 0.22 * dust)
    colour = nodes.mix(smear_share, colour, (0.24, 0.16, 0.10))
    if dust > 0:
        specks = nodes.noise(nodes.moved(pattern), 520, 0)
        spread = nodes.ramp(nodes.noise(nodes.moved(pattern), 7, 1), 0.35, 0.65)
        amount = nodes.times(nodes.times(nodes.ramp(specks, 0.71, 0.75), spread), 0.75 * dust)
        colour = nodes.mix(amount, colour, (0.11, 0.07, 0.04))
    return nodes.finish(colour)


def _timber(nodes: Nodes, pattern: list[float]) -> Any:
    grain = nodes.noise(nodes.moved(pattern, (2.2, 55.0, 1.0)), 3.0, 4)
    rings = nodes.noise(nodes.moved(pattern, (0.8, 12.0, 1.0)), 3.0, 2)
    colour = nodes.mix(nodes.ramp(grain, 0.3, 0.72), (0.46, 0.31, 0.17), (0.27, 0.155, 0.07))
    colour = nodes.mix(nodes.times(nodes.ramp(rings, 0.45, 0.6), 0.45), colour, (0.36, 0.21, 0.10))
    planks = nodes.add("ShaderNodeTexBrick", offset=0.37)
    nodes.link(nodes.moved([0.013, 0.021, 0.0]), planks.inputs["Vector"])
    planks.inputs["Scale"].default_value = 1.0
    planks.inputs["Mortar Size"].default_value = 0.0011
    planks.inputs["Brick Width"].default_value = 1.9
    planks.inputs["Row Height"].default_value = 0.118
    planks.inputs["Color1"].default_value = (1, 1, 1, 1)
    planks.inputs["Color2"].default_value = (0.78, 0.78, 0.78, 1)
    planks.inputs["Mortar"].default_value = (0.12, 0.10, 0.09, 1)
    product = nodes.add("ShaderNodeMixRGB", blend_type="MULTIPLY")
    product.inputs["Fac"].default_value = 1.0
    nodes.link(colour, product.inputs["Color1"])
    nodes.link(planks.outputs["Color"], product.inputs["Color2"])
    return product.outputs["Color"]


def ground(kind: str, pattern: list[float]) -> Any:
    """What is under and around the board."""
    nodes = Nodes("ground")
    where = nodes.moved(pattern)
    dark, light, scale = {
        "soil": ((0.10, 0.055, 0.03), (0.24, 0.14, 0.08), 26.0),
        "concrete": ((0.20, 0.195, 0.185), (0.33, 0.32, 0.30), 11.0),
        "grass": ((0.035, 0.065, 0.018), (0.17, 0.19, 0.06), 60.0),
    }[kind]
    coarse = nodes.mix(nodes.ramp(nodes.noise(where, scale, 4), 0.35, 0.68), dark, light)
    fine = nodes.ramp(nodes.noise(where, 9 * scale, 1), 0.3, 0.75)
    return nodes.finish(nodes.mix(nodes.times(fine, 0.5), coarse, light))
