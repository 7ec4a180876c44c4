"""Shader nodes in few words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import bpy

Colour = Sequence[float]


class Shader:
    """One material under construction. Sockets and plain values may be mixed freely as arguments."""

    def __init__(self, name: str) -> None:
        self.material = bpy.data.materials.new(name)
        self.material.use_nodes = True
        self.tree = self.material.node_tree
        self.tree.nodes.clear()
        self.out = self.tree.nodes.new("ShaderNodeOutputMaterial")

    def put(self, socket: Any, value: Any) -> None:
        if isinstance(value, bpy.types.NodeSocket):
            self.tree.links.new(value, socket)
        elif value is not None:
            if socket.type == "RGBA" and len(value) == 3:
                value = (*value, 1)
            socket.default_value = value

    def node(self, kind: str, inputs: dict[Any, Any] | None = None, **settings: Any) -> Any:
        n = self.tree.nodes.new("ShaderNode" + kind)
        for key, value in settings.items():
            setattr(n, key, value)
        for key, value in (inputs or {}).items():
            self.put(n.inputs[key], value)
        return n

    # --- coordinates and patterns
    def where(self, kind: str = "Object") -> Any:
        return self.node("TexCoord").outputs[kind]

    def scaled(self, by: Any, kind: Any = "Object", turn: Colour = (0, 0, 0), move: Colour = (0, 0, 0)) -> Any:
        by = (by,) * 3 if isinstance(by, (int, float)) else by
        vec = self.where(kind) if isinstance(kind, str) else kind
        return self.node("Mapping", {"Vector": vec, "Scale": by, "Rotation": turn, "Location": move}).outputs[0]

    def noise(self, scale: float, detail: float = 4, rough: float = 0.55, vec: Any = None, warp: float = 0.0) -> Any:
        return self.node("TexNoise", {"Vector": vec or self.where(), "Scale": scale, "Detail": detail, "Roughness": rough, "Distortion": warp}).outputs["Fac"]

    def cells(self, scale: float, feature: str = "F1", vec: Any = None, randomness: float = 1.0) -> Any:
        n = self.node("TexVoronoi", {"Vector": vec or self.where(), "Scale": scale, "Randomness": randomness}, feature=feature)
        return n.outputs["Distance"]

    def cell_colour(self, scale: float, vec: Any = None) -> Any:
        return self.node("TexVoronoi", {"Vector": vec or self.where(), "Scale": scale}).outputs["Color"]

    def image(self, path: str, vec: Any, extension: str = "EXTEND", raw: bool = True) -> Any:
        im = bpy.data.images.load(path, check_existing=True)
        if raw:
            im.colorspace_settings.name = "Non-Color"
        return self.node("TexImage", {"Vector": vec}, image=im, extension=extension)

    def split(self, vec: Any) -> tuple[Any, Any, Any]:
        n = self.node("SeparateXYZ", {0: vec})
        return n.outputs[0], n.outputs[1], n.outputs[2]

    def join(self, x: Any, y: Any, z: Any = 0.0) -> Any:
        return self.node("CombineXYZ", {0: x, 1: y, 2: z}).outputs[0]

    # --- arithmetic
    def math(self, op: str, a: Any, b: Any = None, clamp: bool = False) -> Any:
        n = self.node("Math", {0: a}, operation=op, use_clamp=clamp)
        if b is not None:
            self.put(n.inputs[1], b)
        return n.outputs[0]

    def mul(self, a: Any, b: Any) -> Any:
        return self.math("MULTIPLY", a, b)

    def add(self, a: Any, b: Any) -> Any:
        return self.math("ADD", a, b)

    def step(self, a: Any, low: float, high: float) -> Any:
        """0 below low, 1 above high, smooth between (low may exceed high)."""
        n = self.node("MapRange", {0: a, 1: low, 2: high, 3: 0.0, 4: 1.0}, interpolation_type="SMOOTHSTEP")
        if low > high:
            self.put(n.inputs[1], high), self.put(n.inputs[2], low), self.put(n.inputs[3], 1.0), self.put(n.inputs[4], 0.0)
        return n.outputs[0]

    def mix(self, fac: Any, a: Any, b: Any) -> Any:
        """Colours."""
        n = self.node("Mix", None, data_type="RGBA")
        self.put(n.inputs[0], fac), self.put(n.inputs[6], a), self.put(n.inputs[7], b)
        return n.outputs[2]

    def blend(self, fac: Any, a: Any, b: Any) -> Any:
        """Numbers."""
        n = self.node("Mix", None, data_type="FLOAT")
        self.put(n.inputs[0], fac), self.put(n.inputs[2], a), self.put(n.inputs[3], b)
        return n.outputs[0]

    def bump(self, height: Any, distance: float, strength: Any = 1.0, normal: Any = None) -> Any:
        n = self.node("Bump", {"Height": height, "Distance": distance, "Strength": strength})
        if normal is not None:
            self.put(n.inputs["Normal"], normal)
        return n.outputs[0]

    # --- surfaces
    def principled(self, **inputs: Any) -> Any:
        """Names as in the node, spaces as underscores."""
        return self.node("BsdfPrincipled", {k.replace("_", " "): v for k, v in inputs.items()}).outputs[0]

    def over(self, fac: Any, below: Any, above: Any) -> Any:
        n = self.node("MixShader", {0: fac})
        self.put(n.inputs[1], below), self.put(n.inputs[2], above)
        return n.outputs[0]

    def done(self, surface: Any) -> Any:
        self.tree.links.new(surface, self.out.inputs["Surface"])
        return self.material


def plain(name: str, colour: Colour, roughness: float = 0.5, metallic: float = 0.0, coat: float = 0.0, bumpy: tuple[float, float] | None = None, **more: Any) -> Any:
    """One even material; bumpy: (scale of the noise, depth in metres)."""
    s = Shader(name)
    normal = s.bump(s.noise(bumpy[0]), bumpy[1]) if bumpy else None
    kw = {"Base_Color": colour, "Roughness": roughness, "Metallic": metallic, "Coat_Weight": coat, "Coat_Roughness": 0.03, **more}
    if normal is not None:
        kw["Normal"] = normal
    return s.done(s.principled(**kw))
