# SPDX-License-Identifier: Apache-2.0
"""From linear light to the bytes of a phone's or a web page's JPEG, for a batch [B, 3, S, S] on one device."""
import torch
import torch.nn.functional as F


def linear_from_lab(lab):
    """CIE L*a*b* (D65) to linear sRGB; [B, 3, ...]. sRGB matrix: IEC 61966-2-1."""
    fy = (lab[:, :1] + 16) / 116
    f = torch.cat([fy + lab[:, 1:2] / 500, fy, fy - lab[:, 2:3] / 200], 1)
    xyz = torch.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29))
    m = xyz.new_tensor([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])
    white = xyz.new_tensor([0.95047, 1.0, 1.08883]).view(1, 3, 1, 1)
    return torch.einsum('ij,bjhw->bihw', m, xyz * white).clamp(0, 1)


def srgb_from_linear(v):
    v = v.clamp(min=0)
    return torch.where(v <= 0.0031308, 12.92 * v, 1.055 * v.clamp(min=1e-6) ** (1 / 2.4) - 0.055)


def blur(img, sigma, radius=6):
    """Gaussian blur with its own sigma [B, 1, 1, 1] for each sample."""
    b, c, h, w = img.shape
    t = torch.arange(-radius, radius + 1, device=img.device, dtype=torch.float32)
    k = torch.exp(-0.5 * (t.view(1, -1) / sigma.view(b, 1).clamp(min=1e-2)) ** 2)
    k = (k / k.sum(1, keepdim=True)).repeat_interleave(c, 0)
    flat = img.reshape(1, b * c, h, w)
    flat = F.conv2d(
        F.pad(flat, (radius, radius, 0, 0), mode='reflect'), k.view(b * c, 1, 1, -1), groups=b * c
    )
    flat = F.conv2d(
        F.pad(flat, (0, 0, radius, radius), mode='reflect'), k.view(b * c, 1, -1, 1), groups=b * c
    )
    return flat.view(b, c, h, w)


_LUMA = [int(v) for v in (  # ITU-T T.81, table K.1
    '16 11 10 16 24 40 51 61 12 12 14 19 26 58 60 55 '
    '14 13 16 24 40 57 69 56 14 17 22 29 51 87 80 62 '
    '18 22 37 56 68 109 103 77 24 35 55 64 81 104 113 92 '
    '49 64 78 87 103 121 120 101 72 92 95 98 112 100 103 99 '
).split()]
_CHROMA = [int(v) for v in (  # ITU-T T.81, table K.2
    '17 18 24 47 99 99 99 99 18 21 26 66 99 99 99 99 '
    '24 26 56 99 99 99 99 99 47 66 99 99 99 99 99 99 '
    '99 99 99 99 99 99 99 99 99 99 99 99 99 99 99 99 '
    '99 99 99 99 99 99 99 99 99 99 99 99 99 99 99 99 '
).split()]


def jpeg(img, quality):
    """What JPEG leaves of img (0..1), 4:2:0, quality [B, 1, 1, 1] in the usual scale of 1 to 100. S: multiple of 16."""
    b, _, h, w = img.shape
    m = img.new_tensor([[0.299, 0.587, 0.114], [-0.168736, -0.331264, 0.5], [0.5, -0.418688, -0.081312]])
    ycc = torch.einsum('ij,bjhw->bihw', m, img * 255)
    i = torch.arange(8, device=img.device, dtype=torch.float32)
    d = torch.cos((2 * i.view(1, 8) + 1) * i.view(8, 1) * torch.pi / 16) * 0.5
    d[0] *= 0.5**0.5
    q = quality.view(b, 1, 1, 1).clamp(1, 99)
    scale = torch.where(q < 50, 5000 / q, 200 - 2 * q) / 100

    def pass_(p, table):
        bb, c, hh, ww = p.shape
        t = (
            (img.new_tensor(table).view(1, 1, 1, 1, 8, 8) * scale.view(b, 1, 1, 1, 1, 1))
            .clamp(1, 255)
            .round()
        )
        t = t.view(b, 1, 1, 8, 1, 8)
        f = (d @ p.reshape(-1, 8, ww)).view(-1, 8) @ d.T
        f = (f.view(bb, c, hh // 8, 8, ww // 8, 8) / t).round() * t
        return (d.T @ (f.view(-1, 8) @ d).view(-1, 8, ww)).view(bb, c, hh, ww)

    y = pass_(ycc[:, :1] - 128, _LUMA) + 128
    c = F.interpolate(
        pass_(F.avg_pool2d(ycc[:, 1:], 2), _CHROMA), scale_factor=2.0, mode='bilinear', align_corners=False
    )
    back = img.new_tensor([[1, 0, 1.402], [1, -0.344136, -0.714136], [1, 1.772, 0]])
    return (torch.einsum('ij,bjhw->bihw', back, torch.cat([y, c], 1)) / 255).clamp(0, 1)


def coarser(img, factor):
    """Area average over about `factor` pixels; the sides stay multiples of 16."""
    side = max(16, int(round(img.shape[-1] / factor / 16)) * 16)
    return F.interpolate(img, (side, side), mode='area')


def photograph(dice, linear, meat):
    """Linear light to bytes/255: exposure, white balance, curve, blur, denoise, noise, sharpening, JPEG, size."""
    b = dice.b
    level = (linear.mean(1, keepdim=True) * meat).sum((2, 3), keepdim=True) / meat.sum(
        (2, 3), keepdim=True
    ).clamp(min=50)
    linear = linear * dice.log_uniform(0.05, 0.42) / level.clamp(min=0.02)
    linear = linear * torch.exp(0.13 * dice.normal(b, 3, 1, 1))
    linear = linear + dice.chance(0.3) * dice.uniform(0, 0.05)  # veiling light
    linear = blur(linear, dice.chance(0.85) * dice.uniform(0.2, 1.8))
    shoulder = dice.uniform(1.0, 3.0)  # highlights roll off, or clip hard
    soft = dice.chance(0.6)
    linear = soft * (1 - torch.exp(-shoulder * linear)) / (1 - torch.exp(-shoulder)) + (1 - soft) * linear
    v = srgb_from_linear(linear).clamp(0, 1.2)
    contrast = dice.uniform(-0.25, 0.6)
    v = v + contrast * v.clamp(0, 1) * (1 - v.clamp(0, 1)) * (2 * v - 1) * 2
    grey = (v * v.new_tensor([0.299, 0.587, 0.114]).view(1, 3, 1, 1)).sum(1, keepdim=True)
    v = grey + (v - grey) * torch.exp(dice.gauss(0.28))
    v = v.clamp(0, 1)
    factor = 1.0 + 1.3 * dice.coin() if dice.coin() < 0.55 else 1.0
    full = v.shape[-1]
    if factor > 1.06:
        v = coarser(v, factor)
    fine = dice.normal(*v.shape) * dice.chance(0.7) * dice.log_uniform(0.002, 0.03)
    coarse = F.interpolate(
        dice.normal(b, 3, v.shape[2] // 2, v.shape[3] // 2),
        size=v.shape[2:],
        mode='bilinear',
        align_corners=False,
    )
    v = v + fine + coarse * dice.chance(0.4) * dice.log_uniform(0.002, 0.02)
    smooth = blur(v, dice.uniform(0.5, 1.3))
    gate = torch.exp(
        -(((v - smooth) / dice.log_uniform(0.01, 0.05)) ** 2)
    )  # denoising: small differences go, edges stay
    v = v + dice.chance(0.4) * dice.uniform(0.3, 1.0) * gate * (smooth - v)
    amount = dice.chance(0.55) * dice.log_uniform(0.2, 3.0)
    limit = dice.log_uniform(0.04, 0.4)
    detail = amount * (v - blur(v, dice.uniform(0.5, 2.0)))
    v = (v + torch.maximum(torch.minimum(detail, limit), -limit)).clamp(0, 1)
    pressed = jpeg(v, dice.uniform(35, 98))
    v = torch.where(dice.chance(0.85) > 0, pressed, v)
    v = (v * 255).round() / 255
    if v.shape[-1] != full:
        mode = 'bicubic' if dice.coin() < 0.4 else 'bilinear'
        v = F.interpolate(v, (full, full), mode=mode, align_corners=False)
    return v.clamp(0, 1)
