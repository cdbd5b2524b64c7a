# SPDX-License-Identifier: Apache-2.0
"""Colour of drawn lean: any meat, with stains, fibre grain and bundles. All ranges are assumed: wide on purpose."""
import math

import torch

from drawn_fat import polar_lab
from fields import cells, fractal, noise


def lean_albedo(dice, x, y, scale, who, pale):
    """Colour of lean: any meat, stains, grain, bundles. Returns L*a*b* and the sample's mean lightness."""
    pick = torch.where(pale > 0, 0.7, dice.rand(dice.b, 1, 1, 1))
    light = torch.where(
        pick < 0.5,
        dice.uniform(24, 46),
        torch.where(pick < 0.85, dice.uniform(42, 74), dice.uniform(18, 72)),
    )
    chroma = torch.where(
        pick < 0.5, dice.uniform(12, 46), torch.where(pick < 0.85, dice.uniform(8, 32), dice.uniform(4, 50))
    )
    hue = torch.where(
        pick < 0.5,
        dice.uniform(0, 48),
        torch.where(pick < 0.85, dice.uniform(12, 66), dice.uniform(-12, 70)),
    )
    dl, dc, dh = dice.gauss(4), dice.gauss(4), dice.gauss(7)
    stain = torch.sigmoid(
        fractal(dice, x, y, dice.log_uniform(12, 120)) * dice.log_uniform(0.8, 8) + dice.gauss(1)
    )
    tone = torch.cos(who * 2.4 + dice.uniform(0, 6.28)) * dice.uniform(0, 1)
    blood = torch.sigmoid(
        (fractal(dice, x, y, dice.log_uniform(15, 60)) - dice.uniform(1.2, 2.4)) * 6
    ) * dice.chance(0.3)
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
    room = (dice.log_uniform(0.6, 2.5) * scale * n**0.5 / 2).clamp(max=size)
    f1, f2, _ = cells(
        (u + wob) / stretch, v + wob, (dice.rand(dice.b, n, 2) * 2 - 1) * room.view(dice.b, 1, 1)
    )
    line = torch.exp(-(((f2 - f1) / dice.uniform(0.8, 2.5)) ** 2)) * dice.chance(0.45)
    light = light + line * dice.uniform(-7, 4.5)
    return (
        polar_lab(light.clamp(4, 92), chroma, hue),
        base,
        chroma.mean((2, 3), keepdim=True),
        hue.mean((2, 3), keepdim=True),
        angle,
    )
