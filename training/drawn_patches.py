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

from camera import blur, linear_from_lab, photograph
from drawn_fat import GONE, coverage, marbling, polar_lab, walks
from drawn_lean import lean_albedo
from drawn_light import lit, pools, relief, sparks
from fields import Dice, cells, coordinates, fractal, level_distance, noise, segment_distance


def outline(dice, size, x, y, pale):
    """Signed distance inside the face (pixels, positive inside), large where the patch lies all inside."""
    edge = torch.maximum(dice.chance(0.4), pale * dice.chance(0.6))
    a = dice.uniform(0, 2 * math.pi)
    bump = fractal(dice, x, y, dice.log_uniform(25, 160)) * 14 * dice.rand(dice.b, 1, 1, 1) ** 2
    bump = bump + noise(dice, x, y, dice.log_uniform(4, 14)) * dice.uniform(0, 1.5)
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


def board(dice, x, y, pale):
    """What lies round the meat: white, black, steel, wood, plastic, paper; or a cut-out's flat ground."""
    kind = dice.rand(dice.b, 1, 1, 1)
    light = torch.where(
        kind < 0.3,
        dice.uniform(85, 100),
        torch.where(kind < 0.55, dice.uniform(0, 22), dice.uniform(10, 95)),
    )
    chroma = torch.where(kind < 0.55, dice.uniform(0, 4), dice.uniform(0, 35))
    lab = polar_lab(light, chroma, dice.uniform(0, 360))
    plank = fractal(dice, x, y, dice.log_uniform(20, 300), dice.log_uniform(2, 60), octaves=3)
    lab = lab + torch.cat(
        [plank * dice.log_uniform(0.1, 6), plank * 0, plank * dice.uniform(-1, 1)], 1
    ) * dice.chance(0.6)
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
    seam_half = dice.log_uniform(0.05, 2.2) * scale * torch.exp(
        0.5 * fractal(dice, x, y, dice.log_uniform(4, 20) * scale)
    ) - dice.uniform(0, 0.8)
    seam_fat = coverage(border - seam_half)
    has_cover = torch.where(pale > 0, dice.chance(0.12), dice.chance(0.6))
    thick = (
        has_cover
        * dice.log_uniform(0.3, 14)
        * scale
        * torch.exp(0.45 * fractal(dice, x, y, dice.log_uniform(5, 30) * scale))
        - 1
    )
    cover_fat = coverage(inside - thick) * edge * (thick > 0)
    other = torch.maximum(seam_fat, cover_fat)
    streak = level_distance(
        fractal(dice, x, y, dice.log_uniform(3, 15) * scale, dice.log_uniform(0.5, 3) * scale),
        dice.uniform(1.0, 2.5),
    )
    other = other * (1 - coverage(streak) * dice.chance(0.3))  # lean left in the cover
    fat = torch.maximum(cover, other)
    opaque = torch.where(other > cover, torch.full_like(opaque, 0.95), opaque)

    # Fat's colour: lighter than the lean by at least a visible step.
    fat_light = (base + torch.where(pale > 0, dice.uniform(12, 36), dice.uniform(16, 50))).clamp(max=97)
    fat_lab = polar_lab(fat_light, dice.uniform(1, 26), dice.uniform(25, 100))
    pink = dice.uniform(0, 0.45)
    fat_lab = mix(fat_lab, polar_lab(fat_light, chroma, hue), pink)
    clump = fractal(dice, x, y, dice.log_uniform(0.4, 6) * scale)
    fat_lab = fat_lab + torch.cat(
        [clump * dice.log_uniform(0.3, 4), clump * dice.uniform(-2, 2), clump * dice.uniform(-2, 2)], 1
    )
    lean_lin = linear_from_lab(lab)
    fat_lin = linear_from_lab(torch.cat([fat_lab[:, :1].clamp(5, 99), fat_lab[:, 1:]], 1))

    # Connective lines: long, thin, straight, grey rather than cream, a little see-through.
    n = 5
    some = dice.chance(0.22).view(dice.b, 1) > 0
    keep = some & (dice.rand(dice.b, n) < 0.6)
    r = (0.5 * scale.view(dice.b, 1) * 0.06 * 8 ** dice.rand(dice.b, n)).clamp(0.3, 2.5)
    lines, _ = walks(
        dice,
        dice.rand(dice.b, n) * size,
        dice.rand(dice.b, n) * size,
        dice.rand(dice.b, n) * 6.28,
        (0.5 + dice.rand(dice.b, n)) * size,
        torch.where(keep, r, torch.full_like(r, GONE)),
        torch.ones_like(r),
        7,
        dice.uniform(0.02, 0.2).view(dice.b, 1, 1),
    )
    d, _ = segment_distance(x, y, lines)
    line = coverage(d)
    line_lin = linear_from_lab(
        polar_lab((base + dice.uniform(8, 40)).clamp(max=92), dice.uniform(0, 7), dice.uniform(150, 330))
    )
    # Fat under a little lean has a soft edge; in pale meat what is seen of it counts as fat.
    deep = torch.maximum(dice.chance(0.5), pale) * dice.uniform(0.2, 2.5)
    shown = blur(fat * opaque, deep)
    seen = torch.maximum(
        cover, (2.2 * blur(cover, deep.clamp(min=1.0))).clamp(0, 1)
    )  # as a hand would outline it
    cover = torch.where((pale > 0) & (other < 0.5), seen, cover)
    fat = torch.maximum(cover, other)
    albedo = mix(lean_lin, line_lin, line * dice.uniform(0.25, 0.85))
    albedo = mix(albedo, fat_lin, shown)

    # Lean's pale distractors: lit rim, dried skin, pale haze; dark cuts.
    wide = dice.log_uniform(4, 90)
    rough = fractal(dice, x, y, dice.log_uniform(8, 80))
    rim = torch.exp(-inside.clamp(min=0) / (wide * torch.exp(0.5 * rough)))
    hard = torch.sigmoid(
        (wide - inside + 0.5 * wide * rough) / dice.log_uniform(0.6, 8)
    )  # a second, slanting face
    rim = torch.where(dice.chance(0.3) > 0, hard, rim)
    strong = torch.where(dice.chance(0.5) > 0, dice.uniform(0.05, 0.5), dice.uniform(0.3, 0.95))
    rim = rim * edge * (1 - has_cover * dice.chance(0.6)) * dice.chance(0.85) * strong
    rim_lin = linear_from_lab(
        polar_lab((base + dice.uniform(-12, 34)).clamp(5, 93), dice.uniform(8, 38), dice.uniform(20, 95))
    )
    albedo = mix(albedo, rim_lin, rim.clamp(0, 1))
    haze = (
        torch.sigmoid(fractal(dice, x, y, dice.log_uniform(20, 140)) * 3 - 1.5)
        * dice.chance(0.3)
        * dice.uniform(0, 0.3)
    )
    haze_lin = linear_from_lab(
        polar_lab((base + 30).clamp(max=95), dice.uniform(0, 18), dice.uniform(0, 110))
    )
    albedo = mix(albedo, haze_lin, haze)
    cuts, _ = walks(
        dice,
        dice.rand(dice.b, 4) * size,
        dice.rand(dice.b, 4) * size,
        dice.rand(dice.b, 4) * 6.28,
        (0.1 + 0.5 * dice.rand(dice.b, 4)) * size,
        torch.where((dice.rand(dice.b, 4) < 0.4) & (dice.chance(0.4).view(-1, 1) > 0), 1.2, GONE)
        * torch.ones(dice.b, 4, device=dice.dev),
        torch.ones(dice.b, 4, device=dice.dev),
        5,
        0.3,
    )
    d, _ = segment_distance(x, y, cuts)
    cut = coverage(d, 1.5)
    albedo = albedo * (1 - cut * dice.uniform(0.2, 0.75) * (fat < 0.5))

    # Bone at the edge of some patches.
    bone_d = level_distance(noise(dice, x, y, dice.log_uniform(60, 160)), dice.uniform(1.0, 2.0))
    bone = coverage(bone_d) * dice.chance(0.07)
    pores = fractal(dice, x, y, dice.log_uniform(2, 7))
    bone_lab = polar_lab(
        (dice.uniform(45, 85) + pores * dice.uniform(1, 7)).clamp(5, 98),
        dice.uniform(3, 22) + 0 * pores,
        dice.uniform(10, 90) + 0 * pores,
    )
    albedo = mix(albedo, linear_from_lab(bone_lab), bone)
    fat, other, cover, line = (t * (1 - bone) for t in (fat, other, cover, line))

    fine, coarse = relief(dice, x, y, scale, angle)
    bulge = blur(fat, 1.2 * torch.ones_like(scale)) * dice.gauss(0.8)
    shade, spec = lit(dice, x, y, fine * (1 - 0.75 * fat), coarse + bulge)
    spark = sparks(dice, x, y, pale) * (1 - dice.uniform(0, 0.8) * fat)
    shine = (spec + spark + pools(dice, x, y, fine) * (1 - dice.uniform(0, 0.5) * fat)) * (1 - 0.5 * bone)
    fall = torch.exp(dice.uniform(0, 0.6) * fractal(dice, x, y, dice.log_uniform(150, 700), octaves=2))
    shadow = 1 - dice.chance(0.3) * dice.uniform(0.2, 0.75) * torch.sigmoid(
        noise(dice, x, y, dice.log_uniform(60, 240)) * dice.log_uniform(3, 40) + dice.gauss(1)
    )
    tint = torch.exp(0.06 * dice.normal(dice.b, 3, 1, 1))
    meat = (albedo * shade + shine * tint) * fall * shadow

    ground, flat, white = board(dice, x, y, pale)
    ground_light = torch.where(flat > 0, torch.ones_like(fall), fall)
    under = 1 - dice.uniform(0, 0.7) * torch.exp(inside.clamp(max=0) / dice.log_uniform(4, 40)) * (1 - flat)
    within = coverage(-inside)
    fringe = torch.exp(-((inside / dice.uniform(0.6, 1.8)) ** 2)) * edge * dice.uniform(-0.6, 0.5)
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


COLOURS = [
    (0, 0, 0),
    (150, 40, 40),
    (255, 240, 120),
    (120, 200, 255),
    (200, 200, 200),
    (255, 0, 255),
    (0, 200, 90),
]


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
    rows = [np.hstack(shown[i : i + 4]) for i in range(0, len(shown) - 3, 4)]
    cv2.imwrite(a.png, np.vstack(rows)[:, :, ::-1])


if __name__ == '__main__':
    main()
