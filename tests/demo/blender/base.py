"""Meshes, shader nodes, lights and cameras: the small vocabulary in which the demo scenes are written.

Lengths in metres. x points forward, y to the left as seen from the driver's seat, z up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import bpy
import numpy as np
from mathutils import Vector

Vec = Sequence[float]
Material = Any
Object = Any


def start(samples: int, size: tuple[int, int], threads: int, exposure: float = 0.0) -> None:
    """An empty scene, Cycles on the processor, denoised."""
    bpy.ops.wm.read_factory_settings(use_empty=True)
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    c = scene.cycles
    c.device, c.samples, c.use_denoising, c.denoiser = "CPU", samples, True, "OPENIMAGEDENOISE"
    c.denoising_prefilter, c.denoising_quality = "FAST", "BALANCED"  # a tenth of the time of the slowest setting, hard to tell apart
    c.use_adaptive_sampling, c.adaptive_threshold = True, 0.02
    c.max_bounces, c.diffuse_bounces, c.glossy_bounces, c.transmission_bounces = 6, 2, 3, 5
    c.transparent_max_bounces, c.sample_clamp_indirect, c.blur_glossy = 12, 4.0, 0.6
    c.caustics_reflective = c.caustics_refractive = False
    c.seed = 7
    r = scene.render
    r.threads_mode, r.threads = "FIXED", threads
    r.resolution_x, r.resolution_y, r.resolution_percentage = *size, 100
    r.image_settings.file_format, r.image_settings.color_mode = "PNG", "RGB"
    scene.view_settings.view_transform, scene.view_settings.look = "AgX", "AgX - Medium High Contrast"
    scene.view_settings.exposure = exposure
    world = bpy.data.worlds.new("w")
    scene.world = world
    world.use_nodes = True
    world.node_tree.nodes["Background"].inputs[0].default_value = (0.5, 0.55, 0.6, 1)
    world.node_tree.nodes["Background"].inputs[1].default_value = 0.12


def link(name: str, mesh: Any, material: Material | None = None) -> Object:
    ob = bpy.data.objects.new(name, mesh)
    bpy.context.scene.collection.objects.link(ob)
    if material is not None:
        mesh.materials.append(material)
    return ob


def mesh_of(name: str, points: Any, faces: Any, material: Material | None = None, smooth: bool = True) -> Object:
    """An object of (n, 3) points and faces (lists of indices)."""
    me = bpy.data.meshes.new(name)
    me.from_pydata([tuple(p) for p in np.asarray(points, dtype=float)], [], [tuple(int(i) for i in f) for f in faces])
    me.update()
    if smooth:
        me.polygons.foreach_set("use_smooth", [True] * len(me.polygons))
    return link(name, me, material)


def grid(name: str, p: np.ndarray, material: Material | None = None, close_u: bool = False, close_v: bool = False) -> Object:
    """A surface of an (m, n, 3) grid of points."""
    m, n = p.shape[:2]
    i, j = np.meshgrid(np.arange(m if close_u else m - 1), np.arange(n if close_v else n - 1), indexing="ij")
    a, b = (i * n + j).ravel(), (((i + 1) % m) * n + j).ravel()
    c, d = (((i + 1) % m) * n + (j + 1) % n).ravel(), (i * n + (j + 1) % n).ravel()
    ob = mesh_of(name, p.reshape(-1, 3), np.stack([a, b, c, d], 1), material)
    u, v = i.ravel() / max(1, m - 1), j.ravel() / max(1, n - 1)
    du, dv = 1 / max(1, m - 1), 1 / max(1, n - 1)
    uv = np.stack([np.stack([u, v], 1), np.stack([u + du, v], 1), np.stack([u + du, v + dv], 1), np.stack([u, v + dv], 1)], 1)
    ob.data.uv_layers.new(name="uv").data.foreach_set("uv", uv.ravel())
    return ob


def lathe(name: str, profile: Sequence[Vec], material: Material | None = None, steps: int = 96, axis: str = "y") -> Object:
    """A profile of (along the axis, radius) turned about an axis through the origin."""
    pr = np.asarray(profile, dtype=float)
    t = np.linspace(0, 2 * math.pi, steps, endpoint=False)
    c, s = np.cos(t)[None], np.sin(t)[None]
    along, r = np.repeat(pr[:, :1], steps, 1), pr[:, 1:2]
    rows = {"y": (r * c, along, r * s), "x": (along, r * c, r * s), "z": (r * c, r * s, along)}[axis]
    ob = grid(name, np.stack(rows, -1), material, close_v=True)
    sharpen(ob)
    return ob


def sharpen(ob: Object, degrees: float = 35) -> None:
    """Smooth shading that keeps edges sharper than the angle."""
    import bmesh

    bm = bmesh.new()
    bm.from_mesh(ob.data)
    bmesh.ops.recalc_face_normals(bm, faces=bm.faces)
    for e in bm.edges:
        if len(e.link_faces) == 2 and e.calc_face_angle(0) > math.radians(degrees):
            e.smooth = False
    bm.to_mesh(ob.data)
    bm.free()


def tube(name: str, path: Any, radius: float, material: Material | None = None, closed: bool = False, sides: int = 10, flat: float = 1.0) -> Object:
    """A round bar along points; flat squeezes it across the path's own normal."""
    p = np.asarray(path, dtype=float)
    ahead = np.roll(p, -1, 0) - np.roll(p, 1, 0)
    if not closed:
        ahead[0], ahead[-1] = p[1] - p[0], p[-1] - p[-2]
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True) + 1e-12
    up = np.zeros_like(p)
    last = np.array([0.0, 0.0, 1.0]) if abs(ahead[0, 2]) < 0.9 else np.array([0.0, 1.0, 0.0])
    for k, a in enumerate(ahead):  # carry the frame along, so that it does not spin
        last = last - a * (last @ a)
        last /= np.linalg.norm(last) + 1e-12
        up[k] = last
    side = np.cross(ahead, up)
    t = np.linspace(0, 2 * math.pi, sides, endpoint=False)
    ring = p[:, None] + radius * (up[:, None] * np.cos(t)[None, :, None] + side[:, None] * np.sin(t)[None, :, None] * flat)
    ob = grid(name, ring, material, close_u=closed, close_v=True)
    if not closed:
        n = len(p) * sides
        import bmesh

        bm = bmesh.new()
        bm.from_mesh(ob.data)
        bm.verts.ensure_lookup_table()
        bm.faces.new([bm.verts[k] for k in range(sides)])
        bm.faces.new([bm.verts[n - 1 - k] for k in range(sides)])
        bm.to_mesh(ob.data)
        bm.free()
        sharpen(ob, 60)
    return ob


def box(name: str, size: Vec, at: Vec = (0, 0, 0), material: Material | None = None, bevel: float = 0.0, turn: Vec = (0, 0, 0), segments: int = 3) -> Object:
    x, y, z = (s / 2 for s in size)
    p = [(a, b, c) for a in (-x, x) for b in (-y, y) for c in (-z, z)]
    f = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    ob = mesh_of(name, p, f, material, smooth=bevel > 0)
    place(ob, at, turn)
    if bevel:
        m = ob.modifiers.new("b", "BEVEL")
        m.width, m.segments, m.limit_method = bevel, segments, "NONE"
        ob.modifiers.new("n", "WEIGHTED_NORMAL")
    return ob


def place(ob: Object, at: Vec = (0, 0, 0), turn: Vec = (0, 0, 0), scale: Vec | float = 1.0) -> Object:
    """Move, turn (degrees about x, y, z) and scale."""
    ob.location = at
    ob.rotation_euler = [math.radians(a) for a in turn]
    ob.scale = (scale,) * 3 if isinstance(scale, (int, float)) else scale
    return ob


def group(obs: Sequence[Object], at: Vec = (0, 0, 0), turn: Vec = (0, 0, 0), scale: Vec | float = 1.0) -> Object:
    """An empty that carries the objects."""
    e = bpy.data.objects.new("group", None)
    bpy.context.scene.collection.objects.link(e)
    for ob in obs:
        if ob.parent is None:
            ob.parent = e
    return place(e, at, turn, scale)


def text(name: str, words: str, size: float, material: Material, at: Vec, turn: Vec = (90, 0, 0), depth: float = 0.002, bevel: float = 0.0, font: str | None = None, spacing: float = 1.0) -> Object:
    """Raised lettering, centred."""
    cu = bpy.data.curves.new(name, "FONT")
    cu.body, cu.size, cu.align_x, cu.align_y, cu.extrude, cu.bevel_depth, cu.space_character = words, size, "CENTER", "CENTER", depth, bevel, spacing
    if font:
        cu.font = bpy.data.fonts.load(font)
    ob = bpy.data.objects.new(name, cu)
    bpy.context.scene.collection.objects.link(ob)
    cu.materials.append(material)
    return place(ob, at, turn)


def lamp(at: Vec, to: Vec, size: tuple[float, float], watts: float, colour: Vec = (1, 1, 1), seen: bool = True) -> Object:
    """A rectangular soft light; seen: it also shows in reflections and to the camera."""
    li = bpy.data.lights.new("area", "AREA")
    li.shape, li.size, li.size_y, li.energy, li.color = "RECTANGLE", *size, watts, colour
    ob = bpy.data.objects.new("area", li)
    bpy.context.scene.collection.objects.link(ob)
    ob.location = at
    aim = Vector(to) - Vector(at)
    ob.rotation_euler = aim.to_track_quat("-Z", "Y").to_euler()
    ob.visible_camera = False
    ob.visible_glossy = seen
    return ob


def camera(eye: Vec, at: Vec, lens: float, fstop: float = 0.0, focus: Vec | None = None, roll: float = 0.0, shift: tuple[float, float] = (0, 0)) -> Object:
    """A camera of a 36 mm wide sensor; fstop 0: everything sharp; focus: the sharp point, else what is aimed at."""
    ca = bpy.data.cameras.new("cam")
    ca.lens, ca.clip_start = lens, 0.005
    ca.shift_x, ca.shift_y = shift
    ob = bpy.data.objects.new("cam", ca)
    bpy.context.scene.collection.objects.link(ob)
    ob.location = eye
    aim = Vector(at) - Vector(eye)
    ob.rotation_euler = aim.to_track_quat("-Z", "Y").to_euler()
    ob.rotation_euler.rotate_axis("Z", math.radians(roll))
    if fstop:
        ca.dof.use_dof, ca.dof.aperture_fstop = True, fstop
        ca.dof.focus_distance = (Vector(focus or at) - Vector(eye)).dot(aim.normalized())
    bpy.context.scene.camera = ob
    return ob
