# SPDX-License-Identifier: Apache-2.0
"""Relief, shading, wet sheen and sparks of a drawn cut face. All ranges are assumed: wide on purpose."""
import math

import torch

from fields import fractal, noise, slope


def relief(dice, x, y, scale, angle):
    """Heights of a wet cut face, fine and coarse: fibre ends, waves, creases, knife marks."""
    fine = dice.log_uniform(0.1, 0.45) * scale
    swirl = dice.uniform(0, 6)
    wx, wy = x + swirl * noise(dice, x, y, 30 * torch.ones_like(swirl)), y + swirl * noise(
        dice, x, y, 30 * torch.ones_like(swirl)
    )
    fibres = fractal(
        dice, wx, wy, fine * dice.log_uniform(1, 8), fine, angle + dice.gauss(0.3), octaves=2, fall=0.7
    )
    waves = fractal(dice, x, y, dice.log_uniform(2, 12) * scale, dice.log_uniform(1, 6) * scale, octaves=3)
    fold = noise(dice, x, y, dice.log_uniform(3, 14) * scale, dice.log_uniform(2, 6) * scale)
    crease = -torch.exp(-((fold / dice.uniform(0.03, 0.15)) ** 2)) * dice.chance(0.4)
    coarse = waves * dice.log_uniform(0.1, 2.0) + crease * dice.log_uniform(0.2, 1.5)
    return fibres * dice.log_uniform(0.02, 0.5), coarse


def lit(dice, x, y, fine, coarse):
    """Diffuse shading (about 1) and specular light of two wet films, [B, 1, S, S] each."""
    azimuth, height = dice.uniform(0, 2 * math.pi), dice.uniform(0.5, 1.4)
    lx, ly, lz = (
        torch.cos(height) * torch.cos(azimuth),
        torch.cos(height) * torch.sin(azimuth),
        torch.sin(height),
    )
    fx, fy = slope(fine)
    cx, cy = slope(coarse)

    def normal(px, py):
        k = (px * px + py * py + 1).rsqrt()
        return -px * k, -py * k, k

    nx, ny, nz = normal(fx * 0.6 + cx, fy * 0.6 + cy)
    shade = (nx * lx + ny * ly + nz * lz).clamp(min=0.05) / lz
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


def pools(dice, x, y, fine):
    """Broad mirrored light: it outshines the meat by far, soft skirts veil the lean round it, fibres break it.

    A small, even, moderate patch would look like a fleck of fat, so none is drawn.
    """
    wide = dice.log_uniform(30, 140)
    field = fractal(dice, x, y, wide, wide * dice.log_uniform(0.3, 1.0), octaves=2)
    skirt = ((field - dice.uniform(0.2, 1.4)) / dice.log_uniform(0.6, 2.0)).clamp(min=0) ** dice.uniform(1.2, 3.0)
    broken = (1 + fine / fine.std((2, 3), keepdim=True).clamp(min=1e-4) * dice.uniform(0.1, 0.6)).clamp(min=0)
    return dice.chance(0.1) * skirt * broken * dice.log_uniform(0.6, 4.0)


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
