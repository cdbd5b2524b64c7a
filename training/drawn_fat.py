# SPDX-License-Identifier: Apache-2.0
"""Fat inside drawn muscles: branching veins, flecks, nets, blots and pepper. All ranges are assumed: wide on purpose."""
import math

import torch

from fields import cells, fractal, level_distance, noise, segment_distance

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
    width = (
        flat(torch.where(pale > 0, dice.log_uniform(0.25, 1.6), dice.log_uniform(0.18, 1.1)))
        * flat(scale)
        / 2
    )
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
    seg, (x, y, way, r) = walks(
        dice, x0, y0, angle, length, radii(primary, 1.2, some(primary, amount)), marks(primary), 7, bend
    )
    parent = (dice.rand(b, branch) * primary).long()
    node = (dice.rand(b, branch) * 6).long()
    pick = parent * 7 + node
    at = lambda t, k: t.reshape(b, -1).gather(1, parent * k + node)
    turn = torch.where(dice.rand(b, branch) < 0.5, -1.0, 1.0) * (0.35 + 0.9 * dice.rand(b, branch))
    keep = some(branch, 0.75) & (at(r, 8) > 0)
    seg2, _ = walks(
        dice,
        at(x, 8),
        at(y, 8),
        way.reshape(b, -1).gather(1, pick) + turn,
        length.gather(1, parent) * (0.15 + 0.5 * dice.rand(b, branch)),
        radii(branch, 0.8, keep),
        marks(branch),
        4,
        bend,
    )
    x0, y0 = dice.rand(b, fleck) * size, dice.rand(b, fleck) * size
    angle = flat(grain_angle) + across + spread * dice.normal(b, fleck)
    length = flat(dice.log_uniform(0.4, 3.0)) * flat(scale) * torch.exp(0.5 * dice.normal(b, fleck))
    seg3, _ = walks(
        dice,
        x0,
        y0,
        angle,
        length,
        radii(fleck, 0.9, some(fleck, flat(dice.rand(b, 1, 1, 1)) ** 1.5)),
        marks(fleck),
        2,
        bend,
    )
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
    room = (cell_mm * scale * n**0.5 / 2).clamp(max=size)
    pts = (dice.rand(dice.b, n, 2) * 2 - 1) * room.view(dice.b, 1, 1)
    f1, f2, _ = cells(u / stretch, v, pts)
    width = dice.log_uniform(0.08, 0.45) * scale * torch.exp(0.6 * noise(dice, x, y, 2.0 * scale))
    gate = fractal(dice, x, y, dice.log_uniform(2, 12) * scale) + dice.uniform(-1.0, 1.3)
    net = coverage((f2 - f1) / 2 - width * (gate * 1.5).clamp(-1, 1) + rough)
    net = net * (gate > -0.4).float() * (torch.maximum(u.abs() / stretch, v.abs()) < room * 0.9)
    # Blots: the high places of a rough field, up to 60 % of the area.
    share = dice.log_uniform(0.01, 0.6)
    field = fractal(
        dice,
        wx,
        wy,
        dice.log_uniform(0.6, 5.0) * scale,
        dice.log_uniform(0.4, 1.6) * scale,
        grain_angle + dice.gauss(0.2),
        octaves=3,
        fall=0.6,
    )
    level = math.sqrt(2) * torch.erfinv((1 - 2 * share).clamp(-0.999, 0.999))
    blots = coverage(level_distance(field, level))
    # Pepper: many small flecks.
    field = noise(
        dice, wx, wy, dice.log_uniform(0.18, 0.7) * scale, dice.log_uniform(0.15, 0.4) * scale, grain_angle
    )
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
