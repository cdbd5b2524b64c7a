# SPDX-License-Identifier: Apache-2.0
"""Phantom tiles on the GPU, and what is done to them before the network sees them."""
import glob
import os

import numpy as np
import torch
import torch.nn.functional as F

from camera import jpeg, srgb_from_linear
from fields import coordinates, fractal, noise

SIDE = 384


class Tiles:
    """Tiles of phantom_dump --format raw; the store grows as files are finished. Every `hold`-th file is held out."""

    def __init__(self, folder, room, hold=12):
        self.folder, self.seen, self.count, self.hold = folder, set(), 0, hold
        self.data = torch.empty((room, 6, SIDE, SIDE), dtype=torch.uint8, device='cuda')
        self.held = []

    def refresh(self):
        for f in sorted(glob.glob(os.path.join(self.folder, 'tiles.*.csv'))):
            if f in self.seen or self.count >= len(self.data):
                continue
            raw = np.fromfile(f[:-4] + '.bin', np.uint8)
            n = raw.size // (6 * SIDE * SIDE)
            raw = torch.from_numpy(raw[: n * 6 * SIDE * SIDE].reshape(n, 6, SIDE, SIDE))
            if len(self.seen) % self.hold == 0 and sum(len(h) for h in self.held) < 512:
                self.held.append(raw)
            else:
                k = min(n, len(self.data) - self.count)
                self.data[self.count : self.count + k] = raw[:k].cuda()
                self.count += k
            self.seen.add(f)
        return self.count


def seams(muscle, radius=4):
    """Where two different muscles lie within `radius` pixels: [N, H, W] of 0 and 1. muscle: [N, 1, H, W], 0 = none."""
    k = 2 * radius + 1
    high = F.max_pool2d(muscle, k, 1, radius)
    low = -F.max_pool2d(-torch.where(muscle > 0, muscle, torch.full_like(muscle, 99.0)), k, 1, radius)
    return ((low < 99) & (high != low)).float()[:, 0]


def wet(dice, rgb, label):
    """More mirrored light with soft skirts on the meat, broken by fibres; where it outshines the meat it is glare."""
    x, y = coordinates(dice.b, rgb.shape[-1], rgb.device)
    wide = dice.log_uniform(25, 120)
    field = fractal(dice, x, y, wide, wide * dice.log_uniform(0.3, 1.0), octaves=2)
    light = ((field - dice.uniform(0.3, 1.5)) / dice.log_uniform(0.6, 2.0)).clamp(min=0) ** dice.uniform(1.2, 3.0)
    thin = dice.log_uniform(1.0, 3.0)
    fibres = noise(dice, x, y, thin * dice.log_uniform(1, 6), thin)
    light = light * (1 + fibres * dice.uniform(0.1, 0.6)).clamp(min=0)
    light = light * dice.chance(0.08) * dice.log_uniform(0.6, 3.0) * (label > 0)
    linear = torch.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)  # IEC 61966-2-1
    tint = torch.exp(0.06 * dice.normal(dice.b, 3, 1, 1))
    rgb = srgb_from_linear((linear + light * tint).clamp(0, 1))
    return rgb, torch.where(light > 0.28, torch.full_like(label, 5.0), label)


def prepare(dice, x, crop):
    """Random crop, scale, stretch and turn; glare, colour, paleness, blur, noise, JPEG. x: [N, 6, SIDE, SIDE] bytes.

    A third of the tiles keep their own colours and sharpness.
    """
    n, dev = x.shape[0], x.device
    flat = lambda t: t.view(n)
    zoom = flat(torch.exp(dice.uniform(-0.35, 0.25)))
    stretch = flat(torch.exp(dice.chance(0.3) * dice.uniform(-0.3, 0)))  # a tilted photo made flat
    turn = flat(dice.uniform(0, 4).floor() * (np.pi / 2) + dice.chance(0.5) * dice.uniform(-0.4, 0.4))
    flip = flat(dice.chance(0.5)) * 2 - 1
    size = crop / SIDE * zoom
    room = (1 - size).clamp(min=0)
    cx, cy = (dice.rand(n) * 2 - 1) * room, (dice.rand(n) * 2 - 1) * room
    ca, sa = torch.cos(turn) * size, torch.sin(turn) * size
    theta = torch.stack(
        [torch.stack([ca * flip * stretch, -sa, cx], 1), torch.stack([sa * flip * stretch, ca, cy], 1)], 1
    )
    grid = F.affine_grid(theta, (n, 1, crop, crop), align_corners=False)
    sample = lambda v, mode: F.grid_sample(
        v.float(), grid, mode=mode, padding_mode='reflection', align_corners=False
    )
    rgb = sample(x[:, :3], 'bilinear') / 255
    label, muscle = sample(x[:, 3:4], 'nearest'), sample(x[:, 4:5], 'nearest')
    fat = sample(x[:, 5:], 'bilinear')[:, 0] / 255
    rgb, label = wet(dice, rgb, label)
    own = rgb
    rgb = rgb.clamp(1e-4, 1) ** torch.exp(dice.gauss(0.15))
    rgb = rgb * torch.exp(dice.gauss(0.12)) * torch.exp(0.06 * dice.normal(n, 3, 1, 1))
    # Pale meat: lean drawn part of the way to fat's colour; grain and glare stay, contrast falls.
    meat = ((label > 0.5) & (label != 4) & (label != 5)).float()
    pink = rgb.new_tensor([0.86, 0.68, 0.58]).view(1, 3, 1, 1) * dice.uniform(0.75, 1.1)
    pale = dice.chance(0.3) * dice.uniform(0, 0.7) * meat
    rgb = rgb + pale * (1 - fat[:, None]) * (pink - rgb)
    grey = rgb.mean(1, keepdim=True)
    rgb = grey + (rgb - grey) * torch.exp(dice.gauss(0.25))
    soft = F.avg_pool2d(F.pad(rgb, (1, 1, 1, 1), mode='reflect'), 3, 1)
    rgb = rgb + (soft - rgb) * dice.uniform(-0.8, 1.0)
    rgb = (rgb + torch.randn(rgb.shape, device=dev, generator=dice.g) * dice.uniform(0, 0.015)).clamp(0, 1)
    rgb = torch.where(dice.chance(0.4) > 0, jpeg(rgb, dice.uniform(40, 95)), rgb)
    rgb = torch.where(dice.chance(0.35) > 0, own, rgb)
    return rgb, label[:, 0].round().long(), fat, seams(muscle)
