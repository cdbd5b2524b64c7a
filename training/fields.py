# SPDX-License-Identifier: Apache-2.0
"""Random fields and distance fields, drawn for a whole batch at once on one device.

Everything is a tensor of shape [B, 1, S, S] unless said otherwise; lengths are pixels; randomness comes from
one torch.Generator, so a seed fixes the result on one device. On a GPU the two distance fields run as Triton
kernels; elsewhere in plain PyTorch (slow, for tests and for looking at pictures).
"""
import torch
import torch.nn.functional as F

try:
    import triton
    import triton.language as tl
except ImportError:
    triton = None


class Dice:
    """Random numbers of one batch: scalars a sample come as [B, 1, 1, 1]."""

    def __init__(self, batch, generator, device):
        self.b, self.g, self.dev = batch, generator, device
        self.cpu = torch.Generator().manual_seed(generator.initial_seed())

    def coin(self):
        """One number in 0..1 for the whole batch, without waiting for the device."""
        return float(torch.rand(1, generator=self.cpu))

    def rand(self, *shape):
        return torch.rand(shape, generator=self.g, device=self.dev)

    def normal(self, *shape):
        return torch.randn(shape, generator=self.g, device=self.dev)

    def uniform(self, lo, hi):
        return lo + (hi - lo) * self.rand(self.b, 1, 1, 1)

    def log_uniform(self, lo, hi):
        return lo * (hi / lo) ** self.rand(self.b, 1, 1, 1)

    def chance(self, p):
        return (self.rand(self.b, 1, 1, 1) < p).float()

    def gauss(self, sd=1.0):
        return sd * self.normal(self.b, 1, 1, 1)


def coordinates(batch, size, device):
    """x, y of pixel centres, [B, 1, S, S]."""
    a = torch.arange(size, device=device, dtype=torch.float32) + 0.5
    y, x = torch.meshgrid(a, a, indexing='ij')
    return x.expand(batch, 1, size, size), y.expand(batch, 1, size, size)


def noise(dice, x, y, along, across=None, angle=None, grid=224):
    """Smooth noise of mean 0 and variance near 1 whose hills measure `along` x `across` pixels."""
    across = along if across is None else across
    if angle is None:
        angle = dice.uniform(0, 3.1416)
    size = x.shape[-1]
    c, s = torch.cos(angle), torch.sin(angle)
    u = ((x - size / 2) * c + (y - size / 2) * s) / along
    v = ((y - size / 2) * c - (x - size / 2) * s) / across
    half = grid / 2 - 2
    place = torch.cat([u / half, v / half], 1).permute(0, 2, 3, 1)
    cells = dice.normal(dice.b, 1, grid, grid)
    return 1.35 * F.grid_sample(
        cells, place, mode='bicubic', padding_mode='reflection', align_corners=False
    )


def fractal(dice, x, y, along, across=None, angle=None, octaves=3, fall=0.55):
    """Noise summed over octaves, variance near 1."""
    across = along if across is None else across
    if angle is None:
        angle = dice.uniform(0, 3.1416)
    total, power, gain = 0.0, 0.0, 1.0
    for k in range(octaves):
        total = total + gain * noise(dice, x, y, along / 2**k, across / 2**k, angle)
        power += gain * gain
        gain *= fall
    return total / power**0.5


def slope(f):
    """Differences a pixel in x and y, [B, 1, S, S] each."""
    p = F.pad(f, (1, 1, 1, 1), mode='replicate')
    return (p[..., 1:-1, 2:] - p[..., 1:-1, :-2]) / 2, (p[..., 2:, 1:-1] - p[..., :-2, 1:-1]) / 2


def level_distance(f, level):
    """Signed distance (pixels, negative inside) to where f rises over level, to first order."""
    gx, gy = slope(f)
    return (level - f) / (gx * gx + gy * gy + 1e-6).sqrt().clamp(min=2e-2)


if triton is not None:

    @triton.jit
    def _segments_kernel(x_ptr, y_ptr, seg_ptr, dist_ptr, tag_ptr, n_seg, n_pix, BLOCK: tl.constexpr):
        b = tl.program_id(1)
        o = tl.program_id(0) * BLOCK + tl.arange(0, BLOCK)
        ok = o < n_pix
        x = tl.load(x_ptr + b * n_pix + o, mask=ok, other=0.0)
        y = tl.load(y_ptr + b * n_pix + o, mask=ok, other=0.0)
        best = tl.full([BLOCK], 1e4, tl.float32)
        tag = tl.zeros([BLOCK], tl.float32)
        for k in range(n_seg):
            p = seg_ptr + (b * n_seg + k) * 7
            x0, y0, x1, y1 = tl.load(p), tl.load(p + 1), tl.load(p + 2), tl.load(p + 3)
            r0, r1, mark = tl.load(p + 4), tl.load(p + 5), tl.load(p + 6)
            dx, dy = x1 - x0, y1 - y0
            t = ((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy + 1e-6)
            t = tl.minimum(tl.maximum(t, 0.0), 1.0)
            ex, ey = x - x0 - t * dx, y - y0 - t * dy
            d = tl.sqrt(ex * ex + ey * ey) - (r0 + t * (r1 - r0))
            near = d < best
            best = tl.where(near, d, best)
            tag = tl.where(near, mark, tag)
        tl.store(dist_ptr + b * n_pix + o, best, mask=ok)
        tl.store(tag_ptr + b * n_pix + o, tag, mask=ok)

    @triton.jit
    def _cells_kernel(x_ptr, y_ptr, pts_ptr, f1_ptr, f2_ptr, id_ptr, n_pts, n_pix, BLOCK: tl.constexpr):
        b = tl.program_id(1)
        o = tl.program_id(0) * BLOCK + tl.arange(0, BLOCK)
        ok = o < n_pix
        x = tl.load(x_ptr + b * n_pix + o, mask=ok, other=0.0)
        y = tl.load(y_ptr + b * n_pix + o, mask=ok, other=0.0)
        f1 = tl.full([BLOCK], 1e4, tl.float32)
        f2 = tl.full([BLOCK], 1e4, tl.float32)
        who = tl.zeros([BLOCK], tl.float32)
        for k in range(n_pts):
            p = pts_ptr + (b * n_pts + k) * 2
            ex, ey = x - tl.load(p), y - tl.load(p + 1)
            d = tl.sqrt(ex * ex + ey * ey)
            near = d < f1
            f2 = tl.where(near, f1, tl.minimum(f2, d))
            who = tl.where(near, k * 1.0, who)
            f1 = tl.where(near, d, f1)
        tl.store(f1_ptr + b * n_pix + o, f1, mask=ok)
        tl.store(f2_ptr + b * n_pix + o, f2, mask=ok)
        tl.store(id_ptr + b * n_pix + o, who, mask=ok)


def segment_distance(x, y, segments):
    """Distance to the nearest of tapered segments and that segment's mark.

    segments [B, N, 7]: x0 y0 x1 y1 r0 r1 mark; r: half width at either end (below -50: not there).
    Returns two [B, 1, S, S]: signed distance (negative inside) and mark.
    """
    b, _, s, _ = x.shape
    x, y, segments = x.contiguous(), y.contiguous(), segments.contiguous()
    if x.is_cuda and triton is not None:
        dist, tag = torch.empty_like(x), torch.empty_like(x)
        _segments_kernel[(triton.cdiv(s * s, 512), b)](
            x, y, segments, dist, tag, segments.shape[1], s * s, BLOCK=512
        )
        return dist, tag
    best, tag = torch.full_like(x, 1e4), torch.zeros_like(x)
    for k in range(segments.shape[1]):
        x0, y0, x1, y1, r0, r1, mark = segments[:, k].view(b, 7, 1, 1, 1).unbind(1)
        dx, dy = x1 - x0, y1 - y0
        t = (((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy + 1e-6)).clamp(0, 1)
        d = ((x - x0 - t * dx) ** 2 + (y - y0 - t * dy) ** 2).sqrt() - (r0 + t * (r1 - r0))
        near = d < best
        best, tag = torch.where(near, d, best), torch.where(near, mark.expand_as(d), tag)
    return best, tag


def cells(x, y, points):
    """Distance to the nearest and to the second nearest of `points` [B, N, 2], and which is nearest."""
    b, _, s, _ = x.shape
    x, y, points = x.contiguous(), y.contiguous(), points.contiguous()
    if x.is_cuda and triton is not None:
        f1, f2, who = torch.empty_like(x), torch.empty_like(x), torch.empty_like(x)
        _cells_kernel[(triton.cdiv(s * s, 512), b)](
            x, y, points, f1, f2, who, points.shape[1], s * s, BLOCK=512
        )
        return f1, f2, who
    f1, f2, who = torch.full_like(x, 1e4), torch.full_like(x, 1e4), torch.zeros_like(x)
    for k in range(points.shape[1]):
        p = points[:, k].view(b, 2, 1, 1, 1)
        d = ((x - p[:, 0]) ** 2 + (y - p[:, 1]) ** 2).sqrt()
        near = d < f1
        f2 = torch.where(near, f1, torch.minimum(f2, d))
        who = torch.where(near, torch.full_like(who, float(k)), who)
        f1 = torch.where(near, d, f1)
    return f1, f2, who
