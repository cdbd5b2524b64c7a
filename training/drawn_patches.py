#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Patches of drawn meat with known truth: no photograph, no anatomy, only variety.

A patch is built in linear light: lean of any hue and paleness with fibre grain, bundles and stains; fat as
branching veins, flecks, nets and thick seams, opaque or faint; covers, rims, boards; light, relief, wet sheen
and sparks; then a camera (camera.py). What the network must learn to leave alone is drawn as often as fat.

    drawn_patches.py --png FILE [--count 24] [--seed 1]     shows patches beside their truth

draw(dice, size) returns rgb [B, 3, S, S] in 0..1 (sRGB codes), label [B, S, S] (0 outside, 1 lean, 2 fat in
muscle, 3 other fat, 4 bone, 5 glare, 6 connective line), fat [B, S, S] share of the pixel, seam [B, S, S].
All ranges below are assumed: wide on purpose.
"""
import argparse
import math

import torch
import torch.nn.functional as F

from camera import blur, linear_from_lab, photograph
from fields import Dice, cells, coordinates, fractal, level_distance, noise, segment_distance, slope

GONE = -99.0


def polar_lab(light, chroma, hue_deg):
    h = hue_deg * math.pi / 180
    return torch.cat([light, chroma * torch.cos(h), chroma * torch.sin(h)], 1)


def walks(dice, x0, y0, angle, length, radius, mark, steps, bend):
    """Random walks [B, V] as tapered segments [B, V * steps, 7], and their nodes for branches."""
    b, v = x0.shape
    turn = torch.cumsum(bend * dice.normal(b, v, steps), 2)
    direction = angle[..., None] + turn
    step = (length / steps)[..., None] * (0.6 + 0.8 * dice.rand(b, v, steps))
    x = torch.cumsum(torch.cat([x0[..., None], step * torch.cos(direction)], 2), 2)
    y = torch.cumsum(torch.cat([y0[..., None], step * torch.sin(direction)], 2), 2)
    t = torch.linspace(0, 1, steps + 1, device=x.device).view(1, 1, -1)
    taper = (1 - 0.85 * (2 * t - 1).abs() ** 3) * torch.exp(0.3 * dice.normal(b, v, steps + 1))
    r = radius[..., None] * taper
    r = torch.where(radius[..., None] < 0, torch.full_like(r, GONE), r)
    marks = mark[..., None].expand(b, v, steps)
    seg = torch.stack([x[..., :-1], y[..., :-1], x[..., 1:], y[..., 1:], r[..., :-1], r[..., 1:], marks], 3)
    return seg.reshape(b, v * steps, 7), (x, y, direction, r)


def veins(dice, size, scale, grain_angle, pale, primary=14, branch=16, fleck=34):
    """Branching veins and loose flecks as segments; `mark` is how opaque a vein is."""
    b = dice.b
    flat = lambda t: t.view(b, 1)
    amount = flat(dice.rand(b, 1, 1, 1))
    spread = flat(dice.uniform(0.1, 1.6))
    # Half of a median width of 0.18 to 1.1 mm; pale meat's veins are wider, fainter and fewer.
    width = flat(torch.where(pale > 0, dice.log_uniform(0.25, 1.6), dice.log_uniform(0.18, 1.1))) * flat(scale) / 2
    amount = amount * (1 - 0.5 * flat(pale))
    across = flat(dice.chance(0.5)) * math.pi / 2
    opaque = flat(torch.where(pale > 0, dice.uniform(0.28, 0.9), dice.uniform(0.45, 1.05)))

    def some(n, share):
        return dice.rand(b, n) < share

    def marks(n):
        return (opaque * torch.exp(0.25 * dice.normal(b, n))).clamp(0.2, 1)

    def radii(n, gain, keep):
        r = (width * gain * torch.exp(0.55 * dice.normal(b, n))).clamp(0.25, 9)
        return torch.where(keep, r, torch.full_like(r, GONE))

    x0 = (dice.rand(b, primary) * 1.3 - 0.15) * size
    y0 = (dice.rand(b, primary) * 1.3 - 0.15) * size
    angle = flat(grain_angle) + across + spread * dice.normal(b, primary)
    length = flat(dice.log_uniform(3, 16)) * flat(scale) * torch.exp(0.5 * dice.normal(b, primary))
    bend = flat(dice.uniform(0.1, 0.7))[..., None]
    seg, (x, y, way, r) = walks(dice, x0, y0, angle, length, radii(primary, 1.2, some(primary, amount)), marks(primary), 7, bend)
    parent = (dice.rand(b, branch) * primary).long()
    node = (dice.rand(b, branch) * 6).long()
    pick = parent * 7 + node
    at = lambda t, k: t.reshape(b, -1).gather(1, parent * k + node)
    turn = torch.where(dice.rand(b, branch) < 0.5, -1.0, 1.0) * (0.35 + 0.9 * dice.rand(b, branch))
    keep = some(branch, 0.75) & (at(r, 8) > 0)
    seg2, _ = walks(dice, at(x, 8), at(y, 8), way.reshape(b, -1).gather(1, pick) + turn,
                    length.gather(1, parent) * (0.15 + 0.5 * dice.rand(b, branch)), radii(branch, 0.8, keep), marks(branch), 4, bend)
    x0, y0 = dice.rand(b, fleck) * size, dice.rand(b, fleck) * size
    angle = flat(grain_angle) + across + spread * dice.normal(b, fleck)
    length = flat(dice.log_uniform(0.4, 3.0)) * flat(scale) * torch.exp(0.5 * dice.normal(b, fleck))
    seg3, _ = walks(dice, x0, y0, angle, length, radii(fleck, 0.9, some(fleck, flat(dice.rand(b, 1, 1, 1)) ** 1.5)), marks(fleck), 2, bend)
    return torch.cat([seg, seg2, seg3], 1)


def coverage(distance, soft=0.5):
    """Share of a pixel inside, from the signed distance (pixels, negative inside)."""
    return (0.5 - distance / (2 * soft)).clamp(0, 1)


def marbling(dice, size, x, y, scale, grain_angle, pale):
    """Fat inside muscles: coverage 0..1 and how opaque it is."""
    ripple = dice.log_uniform(4, 22)
    bow = dice.uniform(0.0, 0.45) * ripple
    wx, wy = x + bow * noise(dice, x, y, ripple), y + bow * noise(dice, x, y, ripple)
    rough = noise(dice, x, y, dice.log_uniform(2.0, 6.0)) * dice.uniform(0, 1.0)
    d, opaque = segment_distance(wx, wy, veins(dice, size, scale, grain_angle, pale))
    kind = dice.rand(dice.b, 1, 1, 1)
    kind = torch.where(pale > 0, 0.05 + 0.6 * kind, kind)
    has_veins = (kind > 0.14).float()  # 14 % of patches hold no fat at all
    d = torch.where(has_veins > 0, d, torch.full_like(d, 99.0))
    cover = coverage(d + rough * (d.abs() < 12))
    # Nets: borders of stretched cells, broken by a gate.
    n = 90
    stretch = dice.log_uniform(1.0, 3.0)
    c, s = torch.cos(grain_angle), torch.sin(grain_angle)
    u, v = (wx - size / 2) * c + (wy - size / 2) * s, (wy - size / 2) * c - (wx - size / 2) * s
    cell_mm = dice.log_uniform(1.6, 8.0)
    room = (cell_mm * scale * n ** 0.5 / 2).clamp(max=size)
    pts = (dice.rand(dice.b, n, 2) * 2 - 1) * room.view(dice.b, 1, 1)
    f1, f2, _ = cells(u / stretch, v, pts)
    width = dice.log_uniform(0.08, 0.45) * scale * torch.exp(0.6 * noise(dice, x, y, 2.0 * scale))
    gate = fractal(dice, x, y, dice.log_uniform(2, 12) * scale) + dice.uniform(-1.0, 1.3)
    net = coverage((f2 - f1) / 2 - width * (gate * 1.5).clamp(-1, 1) + rough)
    net = net * (gate > -0.4).float() * (torch.maximum(u.abs() / stretch, v.abs()) < room * 0.9)
    # Blots: the high places of a rough field, up to 60 % of the area.
    share = dice.log_uniform(0.01, 0.6)
    field = fractal(dice, wx, wy, dice.log_uniform(0.6, 5.0) * scale, dice.log_uniform(0.4, 1.6) * scale,
                    grain_angle + dice.gauss(0.2), octaves=3, fall=0.6)
    level = math.sqrt(2) * torch.erfinv((1 - 2 * share).clamp(-0.999, 0.999))
    blots = coverage(level_distance(field, level))
    # Pepper: many small flecks.
    field = noise(dice, wx, wy, dice.log_uniform(0.18, 0.7) * scale, dice.log_uniform(0.15, 0.4) * scale, grain_angle)
    gate = noise(dice, x, y, dice.log_uniform(3, 20) * scale)
    pepper = coverage(level_distance(field - 0.5 * gate, dice.uniform(1.2, 2.6)))
    use_net = ((kind > 0.62) & (kind < 0.85)).float()
    use_blots = ((kind > 0.78) & (kind < 0.98)).float()
    use_pepper = (kind > 0.3).float() * dice.chance(0.3)
    for part, use in ((net, use_net), (blots, use_blots), (pepper, use_pepper)):
        new = part * use
        opaque = torch.where(new > cover, torch.full_like(opaque, 0.92), opaque)
        cover = torch.maximum(cover, new)
    return cover, opaque


def outline(dice, size, x, y, pale):
    """Signed distance inside the face (pixels, positive inside), large where the patch lies all inside."""
    edge = torch.maximum(dice.chance(0.4), pale * dice.chance(0.6))
    a = dice.uniform(0, 2 * math.pi)
    bump = fractal(dice, x, y, dice.log_uniform(25, 160)) * 14 * dice.rand(dice.b, 1, 1, 1) ** 2 + noise(dice, x, y, dice.log_uniform(4, 14)) * dice.uniform(0, 1.5)
    radius = dice.log_uniform(0.45, 3.0) * size
    depth = dice.uniform(0.0, 0.45) * size  # how far the edge is from the patch's middle
    cx, cy = size / 2 + torch.cos(a) * (depth - radius), size / 2 + torch.sin(a) * (depth - radius)
    d = radius - ((x - cx) ** 2 + (y - cy) ** 2).sqrt() + bump
    return torch.where(edge > 0, d, torch.full_like(d, 1e3)), edge


def muscles(dice, size, x, y, scale):
    """Distance to the nearest border between muscles (pixels) and which muscle."""
    n = 6
    count = torch.where(dice.rand(dice.b, 1) < 0.5, 1.0, 2 + (dice.rand(dice.b, 1) * 3).floor())
    pts = (dice.rand(dice.b, n, 2) * 1.4 - 0.2) * size
    idle = torch.arange(n, device=pts.device).view(1, n) >= count
    pts = torch.where(idle[..., None], torch.full_like(pts, 9e3), pts)
    bow = dice.uniform(5, 30)
    wave = dice.log_uniform(40, 160)
    wx, wy = x + bow * fractal(dice, x, y, wave), y + bow * fractal(dice, x, y, wave)
    f1, f2, who = cells(wx, wy, pts)
    return ((f2 - f1) / 2).clamp(max=300), who


def lean_albedo(dice, x, y, scale, who, pale):
    """Colour of lean: any meat, stains, grain, bundles. Returns L*a*b* and the sample's mean lightness."""
    pick = torch.where(pale > 0, 0.7, dice.rand(dice.b, 1, 1, 1))
    light = torch.where(pick < 0.5, dice.uniform(24, 46), torch.where(pick < 0.85, dice.uniform(42, 74), dice.uniform(18, 72)))
    chroma = torch.where(pick < 0.5, dice.uniform(12, 46), torch.where(pick < 0.85, dice.uniform(8, 32), dice.uniform(4, 50)))
    hue = torch.where(pick < 0.5, dice.uniform(0, 48), torch.where(pick < 0.85, dice.uniform(12, 66), dice.uniform(-12, 70)))
    dl, dc, dh = dice.gauss(4), dice.gauss(4), dice.gauss(7)
    stain = torch.sigmoid(fractal(dice, x, y, dice.log_uniform(12, 120)) * dice.log_uniform(0.8, 8) + dice.gauss(1))
    tone = torch.cos(who * 2.4 + dice.uniform(0, 6.28)) * dice.uniform(0, 1)
    blood = torch.sigmoid((fractal(dice, x, y, dice.log_uniform(15, 60)) - dice.uniform(1.2, 2.4)) * 6) * dice.chance(0.3)
    base = light
    light = light + dl * (stain + tone) - 7 * blood
    chroma = (chroma + dc * (stain + tone) + 12 * blood).clamp(min=2)
    hue = hue + dh * (stain + tone) - 6 * blood
    angle = dice.uniform(0, math.pi)
    fine = dice.log_uniform(0.1, 0.5) * scale
    grain = fractal(dice, x, y, fine * dice.log_uniform(1, 12), fine, angle, octaves=2, fall=0.7)
    light = light + grain * dice.log_uniform(0.2, 4.0)
    n = 260
    size = x.shape[-1]
    stretch = dice.log_uniform(1, 3.5)
    c, s = torch.cos(angle), torch.sin(angle)
    u, v = (x - size / 2) * c + (y - size / 2) * s, (y - size / 2) * c - (x - size / 2) * s
    wob = noise(dice, x, y, dice.log_uniform(4, 16)) * dice.uniform(0, 3)
    room = (dice.log_uniform(0.6, 2.5) * scale * n ** 0.5 / 2).clamp(max=size)
    f1, f2, _ = cells((u + wob) / stretch, v + wob, (dice.rand(dice.b, n, 2) * 2 - 1) * room.view(dice.b, 1, 1))
    line = torch.exp(-((f2 - f1) / dice.uniform(0.8, 2.5)) ** 2) * dice.chance(0.45)
    light = light + line * dice.uniform(-7, 4.5)
    return polar_lab(light.clamp(4, 92), chroma, hue), base, chroma.mean((2, 3), keepdim=True), hue.mean((2, 3), keepdim=True), angle


def relief(dice, x, y, scale, angle):
    """Heights of a wet cut face, fine and coarse: fibre ends, waves, creases, knife marks."""
    fine = dice.log_uniform(0.1, 0.45) * scale
    swirl = dice.uniform(0, 6)
    wx, wy = x + swirl * noise(dice, x, y, 30 * torch.ones_like(swirl)), y + swirl * noise(dice, x, y, 30 * torch.ones_like(swirl))
    fibres = fractal(dice, wx, wy, fine * dice.log_uniform(1, 8), fine, angle + dice.gauss(0.3), octaves=2, fall=0.7)
    waves = fractal(dice, x, y, dice.log_uniform(2, 12) * scale, dice.log_uniform(1, 6) * scale, octaves=3)
    fold = noise(dice, x, y, dice.log_uniform(3, 14) * scale, dice.log_uniform(2, 6) * scale)
    crease = -torch.exp(-(fold / dice.uniform(0.03, 0.15)) ** 2) * dice.chance(0.4)
    coarse = waves * dice.log_uniform(0.1, 2.0) + crease * dice.log_uniform(0.2, 1.5)
    return fibres * dice.log_uniform(0.02, 0.5), coarse


def lit(dice, x, y, fine, coarse):
    """Diffuse shading (about 1) and specular light of two wet films, [B, 1, S, S] each."""
    azimuth, height = dice.uniform(0, 2 * math.pi), dice.uniform(0.5, 1.4)
    lx, ly, lz = torch.cos(height) * torch.cos(azimuth), torch.cos(height) * torch.sin(azimuth), torch.sin(height)
    fx, fy = slope(fine)
    cx, cy = slope(coarse)

    def normal(px, py):
        k = (px * px + py * py + 1).rsqrt()
        return -px * k, -py * k, k

    nx, ny, nz = normal(fx * 0.6 + cx, fy * 0.6 + cy)
    shade = ((nx * lx + ny * ly + nz * lz).clamp(min=0.05) / lz)
    shade = 1 + (shade - 1) * dice.uniform(0.1, 0.9)
    hx, hy, hz = lx, ly, lz + 1
    k = (hx * hx + hy * hy + hz * hz).rsqrt()
    gx, gy, gz = normal(fx + cx + dice.gauss(0.15), fy + cy + dice.gauss(0.15))
    film = torch.sigmoid(fractal(dice, x, y, dice.log_uniform(20, 160)) * 4 + dice.gauss(2.0) - 1)
    glossy = ((gx * hx + gy * hy + gz * hz) * k).clamp(0, 1) ** dice.log_uniform(15, 400)
    gx, gy, gz = normal(0.25 * fx + cx, 0.25 * fy + cy)
    sheen = ((gx * hx + gy * hy + gz * hz) * k).clamp(0, 1) ** dice.log_uniform(6, 80)
    on = dice.chance(0.6)
    spec = on * film * (glossy * dice.log_uniform(0.01, 1.0) + sheen * dice.log_uniform(0.005, 0.25))
    return shade, spec


def sparks(dice, x, y, pale):
    """Glitter: small bright dashes that come in swarms."""
    angle = dice.uniform(0, math.pi)
    swirl = dice.uniform(0, 12)
    wave = dice.log_uniform(15, 60)
    wx, wy = x + swirl * noise(dice, x, y, wave), y + swirl * noise(dice, x, y, wave)
    thin = dice.log_uniform(0.7, 2.2)
    f = noise(dice, wx, wy, thin * dice.log_uniform(1, 5), thin, angle, grid=448)
    swarm = fractal(dice, x, y, dice.log_uniform(12, 110)) * dice.uniform(0.2, 1.0)
    level = dice.uniform(1.1, 2.6)
    on = torch.maximum(dice.chance(0.5), pale * dice.chance(0.7))
    return on * ((f + swarm - level) / dice.uniform(0.15, 0.7)).clamp(0, 1) * dice.log_uniform(0.08, 2.0)


def board(dice, x, y, pale):
    """What lies round the meat: white, black, steel, wood, plastic, paper; or a cut-out's flat ground."""
    kind = dice.rand(dice.b, 1, 1, 1)
    light = torch.where(kind < 0.3, dice.uniform(85, 100), torch.where(kind < 0.55, dice.uniform(0, 22), dice.uniform(10, 95)))
    chroma = torch.where(kind < 0.55, dice.uniform(0, 4), dice.uniform(0, 35))
    lab = polar_lab(light, chroma, dice.uniform(0, 360))
    plank = fractal(dice, x, y, dice.log_uniform(20, 300), dice.log_uniform(2, 60), octaves=3)
    lab = lab + torch.cat([plank * dice.log_uniform(0.1, 6), plank * 0, plank * dice.uniform(-1, 1)], 1) * dice.chance(0.6)
    flat = torch.maximum(dice.chance(0.25), pale * dice.chance(0.6))
    white = torch.where(pale > 0, dice.chance(0.2), dice.chance(0.6))
    cut_out = torch.cat([100 * white, 0 * white, 0 * white], 1)
    lab = torch.where(flat > 0, cut_out.expand_as(lab), lab)
    return linear_from_lab(torch.cat([lab[:, :1].clamp(0, 100), lab[:, 1:]], 1)), flat, white


def draw(dice, size):
    x, y = coordinates(dice.b, size, dice.dev)
    mix = lambda a, b, t: a + (b - a) * t
    scale = dice.log_uniform(4.5, 15)  # pixels a millimetre
    pale = dice.chance(0.35)  # pork or veal, often cut out, faint veins, no cover
    inside, edge = outline(dice, size, x, y, pale)
    border, who = muscles(dice, size, x, y, scale)
    lab, base, chroma, hue, angle = lean_albedo(dice, x, y, scale, who, pale)
    cover, opaque = marbling(dice, size, x, y, scale, angle, pale)
    per_muscle = torch.sigmoid(4 * torch.cos(who * 1.7 + dice.uniform(0, 6.28)) + 3)
    cover = cover * (per_muscle > 0.35)

    # Thick fat: seams between muscles and the cover along the outline.
    seam_half = dice.log_uniform(0.05, 2.2) * scale * torch.exp(0.5 * fractal(dice, x, y, dice.log_uniform(4, 20) * scale)) - dice.uniform(0, 0.8)
    seam_fat = coverage(border - seam_half)
    has_cover = torch.where(pale > 0, dice.chance(0.12), dice.chance(0.6))
    thick = has_cover * dice.log_uniform(0.3, 14) * scale * torch.exp(0.45 * fractal(dice, x, y, dice.log_uniform(5, 30) * scale)) - 1
    cover_fat = coverage(inside - thick) * edge * (thick > 0)
    other = torch.maximum(seam_fat, cover_fat)
    streak = level_distance(fractal(dice, x, y, dice.log_uniform(3, 15) * scale, dice.log_uniform(0.5, 3) * scale), dice.uniform(1.0, 2.5))
    other = other * (1 - coverage(streak) * dice.chance(0.3))  # lean left in the cover
    fat = torch.maximum(cover, other)
    opaque = torch.where(other > cover, torch.full_like(opaque, 0.95), opaque)

    # Fat's colour: lighter than the lean by at least a visible step.
    fat_light = (base + torch.where(pale > 0, dice.uniform(12, 36), dice.uniform(16, 50))).clamp(max=97)
    fat_lab = polar_lab(fat_light, dice.uniform(1, 26), dice.uniform(25, 100))
    pink = dice.uniform(0, 0.45)
    fat_lab = mix(fat_lab, polar_lab(fat_light, chroma, hue), pink)
    clump = fractal(dice, x, y, dice.log_uniform(0.4, 6) * scale)
    fat_lab = fat_lab + torch.cat([clump * dice.log_uniform(0.3, 4), clump * dice.uniform(-2, 2), clump * dice.uniform(-2, 2)], 1)
    lean_lin = linear_from_lab(lab)
    fat_lin = linear_from_lab(torch.cat([fat_lab[:, :1].clamp(5, 99), fat_lab[:, 1:]], 1))

    # Connective lines: long, thin, straight, grey rather than cream, a little see-through.
    n = 5
    some = dice.chance(0.22).view(dice.b, 1) > 0
    keep = some & (dice.rand(dice.b, n) < 0.6)
    r = (0.5 * scale.view(dice.b, 1) * 0.06 * 8 ** dice.rand(dice.b, n)).clamp(0.3, 2.5)
    lines, _ = walks(dice, dice.rand(dice.b, n) * size, dice.rand(dice.b, n) * size, dice.rand(dice.b, n) * 6.28,
                     (0.5 + dice.rand(dice.b, n)) * size, torch.where(keep, r, torch.full_like(r, GONE)), torch.ones_like(r), 7,
                     dice.uniform(0.02, 0.2).view(dice.b, 1, 1))
    d, _ = segment_distance(x, y, lines)
    line = coverage(d)
    line_lin = linear_from_lab(polar_lab((base + dice.uniform(8, 40)).clamp(max=92), dice.uniform(0, 7), dice.uniform(150, 330)))
    # Fat under a little lean has a soft edge; in pale meat what is seen of it counts as fat.
    deep = torch.maximum(dice.chance(0.5), pale) * dice.uniform(0.2, 2.5)
    shown = blur(fat * opaque, deep)
    seen = torch.maximum(cover, (2.2 * blur(cover, deep.clamp(min=1.0))).clamp(0, 1))  # as a hand would outline it
    cover = torch.where((pale > 0) & (other < 0.5), seen, cover)
    fat = torch.maximum(cover, other)
    albedo = mix(lean_lin, line_lin, line * dice.uniform(0.25, 0.85))
    albedo = mix(albedo, fat_lin, shown)

    # Lean's pale distractors: lit rim, dried skin, pale haze; dark cuts.
    wide = dice.log_uniform(4, 90)
    rough = fractal(dice, x, y, dice.log_uniform(8, 80))
    rim = torch.exp(-inside.clamp(min=0) / (wide * torch.exp(0.5 * rough)))
    hard = torch.sigmoid((wide - inside + 0.5 * wide * rough) / dice.log_uniform(0.6, 8))  # a second, slanting face
    rim = torch.where(dice.chance(0.3) > 0, hard, rim)
    strong = torch.where(dice.chance(0.5) > 0, dice.uniform(0.05, 0.5), dice.uniform(0.3, 0.95))
    rim = rim * edge * (1 - has_cover * dice.chance(0.6)) * dice.chance(0.85) * strong
    rim_lin = linear_from_lab(polar_lab((base + dice.uniform(-12, 34)).clamp(5, 93), dice.uniform(8, 38), dice.uniform(20, 95)))
    albedo = mix(albedo, rim_lin, rim.clamp(0, 1))
    haze = torch.sigmoid(fractal(dice, x, y, dice.log_uniform(20, 140)) * 3 - 1.5) * dice.chance(0.3) * dice.uniform(0, 0.3)
    haze_lin = linear_from_lab(polar_lab((base + 30).clamp(max=95), dice.uniform(0, 18), dice.uniform(0, 110)))
    albedo = mix(albedo, haze_lin, haze)
    cuts, _ = walks(dice, dice.rand(dice.b, 4) * size, dice.rand(dice.b, 4) * size, dice.rand(dice.b, 4) * 6.28,
                    (0.1 + 0.5 * dice.rand(dice.b, 4)) * size, torch.where((dice.rand(dice.b, 4) < 0.4) & (dice.chance(0.4).view(-1, 1) > 0), 1.2, GONE)
                    * torch.ones(dice.b, 4, device=dice.dev), torch.ones(dice.b, 4, device=dice.dev), 5, 0.3)
    d, _ = segment_distance(x, y, cuts)
    cut = coverage(d, 1.5)
    albedo = albedo * (1 - cut * dice.uniform(0.2, 0.75) * (fat < 0.5))

    # Bone at the edge of some patches.
    bone_d = level_distance(noise(dice, x, y, dice.log_uniform(60, 160)), dice.uniform(1.0, 2.0))
    bone = coverage(bone_d) * dice.chance(0.07)
    pores = fractal(dice, x, y, dice.log_uniform(2, 7))
    bone_lab = polar_lab((dice.uniform(45, 85) + pores * dice.uniform(1, 7)).clamp(5, 98), dice.uniform(3, 22) + 0 * pores, dice.uniform(10, 90) + 0 * pores)
    albedo = mix(albedo, linear_from_lab(bone_lab), bone)
    fat, other, cover, line = (t * (1 - bone) for t in (fat, other, cover, line))

    fine, coarse = relief(dice, x, y, scale, angle)
    bulge = blur(fat, 1.2 * torch.ones_like(scale)) * dice.gauss(0.8)
    shade, spec = lit(dice, x, y, fine * (1 - 0.75 * fat), coarse + bulge)
    spark = sparks(dice, x, y, pale) * (1 - dice.uniform(0, 0.8) * fat)
    shine = (spec + spark) * (1 - 0.5 * bone)
    fall = torch.exp(dice.uniform(0, 0.6) * fractal(dice, x, y, dice.log_uniform(150, 700), octaves=2))
    shadow = 1 - dice.chance(0.3) * dice.uniform(0.2, 0.75) * torch.sigmoid(noise(dice, x, y, dice.log_uniform(60, 240)) * dice.log_uniform(3, 40) + dice.gauss(1))
    tint = torch.exp(0.06 * dice.normal(dice.b, 3, 1, 1))
    meat = (albedo * shade + shine * tint) * fall * shadow

    ground, flat, white = board(dice, x, y, pale)
    ground_light = torch.where(flat > 0, torch.ones_like(fall), fall)
    under = 1 - dice.uniform(0, 0.7) * torch.exp(inside.clamp(max=0) / dice.log_uniform(4, 40)) * (1 - flat)
    within = coverage(-inside)
    fringe = torch.exp(-(inside / dice.uniform(0.6, 1.8)) ** 2) * edge * dice.uniform(-0.6, 0.5)
    scene = mix(ground * ground_light * under, meat, within) * (1 + fringe)
    rgb = photograph(dice, scene.clamp(0, 4), within)
    # A cut-out's ground stays pure after the camera.
    pure = (flat > 0) & (inside < -1.5) & (dice.chance(0.7) > 0)
    rgb = torch.where(pure, white.expand_as(rgb), rgb)

    glare = (shine * fall > dice.uniform(0.22, 0.34)) & (within > 0.5)
    label = torch.ones_like(inside)
    label = torch.where(line > 0.5, 6.0, label)
    label = torch.where((cover > 0.5), 2.0, label)
    label = torch.where((other > 0.5), 3.0, label)
    label = torch.where(bone > 0.5, 4.0, label)
    label = torch.where(glare, 5.0, label)
    label = torch.where(within <= 0.5, 0.0, label)
    seam = ((border < 0.45 * scale).float() * (within > 0.5)) * (bone < 0.5)
    return rgb, label[:, 0].long(), (fat * within)[:, 0], seam[:, 0]


COLOURS = [(0, 0, 0), (150, 40, 40), (255, 240, 120), (120, 200, 255), (200, 200, 200), (255, 0, 255), (0, 200, 90)]


def main():
    ap = argparse.ArgumentParser(description=__doc__)
    ap.add_argument('--png', required=True)
    ap.add_argument('--count', type=int, default=24)
    ap.add_argument('--size', type=int, default=288)
    ap.add_argument('--seed', type=int, default=1)
    a = ap.parse_args()
    import cv2
    import numpy as np
    device = 'cuda' if torch.cuda.is_available() else 'cpu'
    g = torch.Generator(device=device).manual_seed(a.seed)
    shown = []
    for k in range(0, a.count, 8):
        rgb, label, fat, _ = draw(Dice(8, g, device), a.size)
        for i in range(8):
            p = (rgb[i].permute(1, 2, 0).cpu().numpy() * 255).astype(np.uint8)
            t = np.array(COLOURS, np.uint8)[label[i].cpu().numpy()]
            shown.append(np.hstack([p, t]))
    rows = [np.hstack(shown[i:i + 4]) for i in range(0, len(shown) - 3, 4)]
    cv2.imwrite(a.png, np.vstack(rows)[:, :, ::-1])


if __name__ == '__main__':
    main()
