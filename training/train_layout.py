#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Trains the layout network (faces, muscles, cover, bone) on phantoms alone and exports it to ONNX (opset 11).

    train_layout.py --scenes DIR --out DIR [--seconds 360] [--seed 1] [--side 384]

DIR holds layout.*.bin of layout_dump (five bytes a pixel: R, G, B, class, face); files that appear while
training runs are taken in. Needs PyTorch with one GPU. Input: R, G, B in 0..1 (sRGB codes), a square that the
photo is fitted into, grey beyond. Output, at half the input's side: ten scores (outside, seven muscles in the
report's order, fat outside muscles, bone; before softmax) and one for the rim of a face (before the logistic
function), which parts faces that touch.
"""
import argparse
import glob
import json
import os
import time

import numpy as np
import torch
import torch.nn as nn
import torch.nn.functional as F

CLASSES = 10
RIM_PX = 3  # width of the rim at the input's scale


def conv(i, o, stride=1, dilation=1):
    return nn.Sequential(nn.Conv2d(i, o, 3, stride=stride, padding=dilation, dilation=dilation, bias=False),
                         nn.BatchNorm2d(o), nn.ReLU(inplace=True))


class LayoutNet(nn.Module):
    """A stem that halves the picture, four levels below it, and a way back up to the stem's scale."""

    def __init__(self, width=(20, 32, 56, 96, 128)):
        super().__init__()
        a, b, c, d, e = width
        self.stem = nn.Sequential(conv(3, a, 2), conv(a, a))
        self.d1 = nn.Sequential(conv(a, b, 2), conv(b, b))
        self.d2 = nn.Sequential(conv(b, c, 2), conv(c, c))
        self.d3 = nn.Sequential(conv(c, d, 2), conv(d, d))
        self.d4 = nn.Sequential(conv(d, e, 2), conv(e, e), conv(e, e, 1, 2), conv(e, e))
        self.u3 = nn.Sequential(conv(e + d, d), conv(d, d))
        self.u2 = nn.Sequential(conv(d + c, c), conv(c, c))
        self.u1 = nn.Sequential(conv(c + b, b), conv(b, b))
        self.u0 = nn.Sequential(conv(b + a, b), conv(b, b))
        self.head = nn.Conv2d(b, CLASSES + 1, 1)

    def forward(self, x):
        x0 = self.stem(x - 0.45)
        x1 = self.d1(x0)
        x2 = self.d2(x1)
        x3 = self.d3(x2)
        x4 = self.d4(x3)

        def up(v):
            return F.interpolate(v, scale_factor=2.0, mode='bilinear', align_corners=False)

        y = self.u3(torch.cat([up(x4), x3], 1))
        y = self.u2(torch.cat([up(y), x2], 1))
        y = self.u1(torch.cat([up(y), x1], 1))
        y = self.u0(torch.cat([up(y), x0], 1))
        return self.head(y)


def load(path, side):
    return torch.from_numpy(np.fromfile(path, np.uint8).reshape(-1, 5, side, side)).cuda()


def augment(batch, gen):
    """Turns, mirrors, zooms and recolours a batch on the GPU; labels move with their pixels."""
    n = batch.shape[0]
    dev = batch.device

    def u(lo, hi, *shape):
        return torch.rand(*(shape or (n,)), device=dev, generator=gen) * (hi - lo) + lo

    angle = u(-np.pi, np.pi)
    zoom = torch.exp(u(-0.35, 0.25))
    flip = torch.sign(u(-1, 1))
    stretch = torch.exp(u(-0.12, 0.12))
    c, s = torch.cos(angle) * zoom, torch.sin(angle) * zoom
    theta = torch.stack([torch.stack([c * flip * stretch, -s / stretch, u(-0.15, 0.15)], 1),
                         torch.stack([s * flip * stretch, c / stretch, u(-0.15, 0.15)], 1)], 1)
    still = u(0, 1) < 0.25
    eye = torch.tensor([[1.0, 0, 0], [0, 1.0, 0]], device=dev).expand(n, 2, 3)
    theta = torch.where(still[:, None, None], eye, theta)
    grid = F.affine_grid(theta, (n, 3, *batch.shape[2:]), align_corners=False)
    rgb = batch[:, :3].float() / 255.0
    ground = torch.where(u(0, 1) < 0.5, torch.full((n,), 0.5, device=dev), u(0, 1))[:, None, None, None]
    rgb = F.grid_sample(rgb - ground, grid, mode='bilinear', padding_mode='zeros', align_corners=False) + ground
    lab = F.grid_sample(batch[:, 3:].float(), grid, mode='nearest', padding_mode='zeros', align_corners=False)
    gain = torch.exp(torch.randn(n, 3, 1, 1, device=dev, generator=gen) * 0.10 + u(-0.25, 0.25, n, 1, 1, 1))
    rgb = (rgb * gain).clamp(0, 1) ** torch.exp(u(-0.3, 0.3, n, 1, 1, 1))
    mean = rgb.mean(1, keepdim=True)
    rgb = (mean + (rgb - mean) * u(0.5, 1.5, n, 1, 1, 1)).clamp(0, 1)
    soft = F.avg_pool2d(rgb, 3, 1, 1)
    k = u(-0.8, 1.0, n, 1, 1, 1)
    rgb = (rgb + (soft - rgb) * k).clamp(0, 1)
    rgb = (rgb + torch.randn(rgb.shape, device=dev, generator=gen) * u(0, 0.03, n, 1, 1, 1)).clamp(0, 1)
    return rgb, lab[:, 0].round().long(), lab[:, 1:2]


def rim_of(face):
    """Pixels of a face within RIM_PX of something that is not this face."""
    k = 2 * RIM_PX + 1
    far = F.max_pool2d(face, k, 1, RIM_PX)
    near = -F.max_pool2d(-face, k, 1, RIM_PX)
    return ((far != near) & (face > 0)).float()


def targets(kind, face):
    half = kind[:, ::2, ::2]  # input pixels 0, 2, 4 ...: shifted by half an input pixel, within a quarter of ours
    rim = F.max_pool2d(rim_of(face), 2)[:, 0]
    return half, rim


def loss_of(out, kind, rim, weight):
    scores = out[:, :CLASSES].float()
    ce = F.cross_entropy(scores, kind, weight=weight, label_smoothing=0.02)
    p = scores.softmax(1)
    one = F.one_hot(kind, CLASSES).permute(0, 3, 1, 2).float()
    both = (p * one).sum((0, 2, 3))
    dice = 1 - (2 * both + 1) / (p.sum((0, 2, 3)) + one.sum((0, 2, 3)) + 1)
    seen = one.sum((0, 2, 3)) > 0
    edge = F.binary_cross_entropy_with_logits(out[:, CLASSES].float(), rim, pos_weight=torch.tensor(3.0, device=out.device))
    return ce + 0.5 * dice[seen].mean() + 0.5 * edge


@torch.no_grad()
def scores_of(model, held, batch=32):
    model.eval()
    inter = torch.zeros(CLASSES, device='cuda')
    union = torch.zeros(CLASSES, device='cuda')
    good, rib, capgood, caps = 0, 0, 0, 0
    for i in range(0, len(held), batch):
        b = held[i:i + batch]
        out = F.interpolate(model(b[:, :3].float() / 255), scale_factor=2.0, mode='bilinear', align_corners=False)
        got = out[:, :CLASSES].argmax(1)
        want = b[:, 3].long()
        for c in range(CLASSES):
            inter[c] += ((got == c) & (want == c)).sum()
            union[c] += ((got == c) | (want == c)).sum()
        for g, w in zip(got, want):
            for c, gate, into in ((1, 0.92, 'eye'), (2, 0.80, 'cap')):
                n = (w == c).sum()
                if n > 0.02 * w.numel():
                    iou = ((g == c) & (w == c)).sum() / ((g == c) | (w == c)).sum()
                    if into == 'eye':
                        rib += 1
                        good += int(iou >= gate)
                    else:
                        caps += 1
                        capgood += int(iou >= gate)
    return (inter / union.clamp(min=1)).tolist(), good / max(1, rib), capgood / max(1, caps)


def main():
    a = argparse.ArgumentParser(description=__doc__)
    a.add_argument('--scenes', required=True)
    a.add_argument('--out', required=True)
    a.add_argument('--seconds', type=float, default=360)
    a.add_argument('--seed', type=int, default=1)
    a.add_argument('--side', type=int, default=384)
    a.add_argument('--batch', type=int, default=48)
    a.add_argument('--lr', type=float, default=3e-3)
    o = a.parse_args()
    os.makedirs(o.out, exist_ok=True)
    torch.manual_seed(o.seed)
    gen = torch.Generator('cuda').manual_seed(o.seed)
    rng = np.random.default_rng(o.seed)
    model = LayoutNet().cuda().to(memory_format=torch.channels_last)
    average = {k: v.clone().float() for k, v in model.state_dict().items()}
    opt = torch.optim.AdamW(model.parameters(), lr=o.lr, weight_decay=0.02)
    weight = torch.tensor([1.0, 1.0, 1.6, 2.0, 2.0, 2.0, 1.0, 1.2, 1.3, 1.6], device='cuda')
    taken, pool, held = set(), [], None
    began, step, log, told = time.time(), 0, [], 0.0
    while True:
        now = time.time() - began
        if now > o.seconds:
            break
        if step % 50 == 0:
            for path in sorted(glob.glob(os.path.join(o.scenes, 'layout.*.bin'))):
                if path in taken:
                    continue
                taken.add(path)
                d = load(path, o.side)
                if held is None or len(held) < 256:
                    held = d if held is None else torch.cat([held, d])
                else:
                    pool.append(d)
            if not pool:
                time.sleep(0.5)
                began = time.time() if step == 0 else began
                continue
        for group in opt.param_groups:
            f = now / o.seconds
            group['lr'] = o.lr * min(1.0, step / 200) * (0.5 * (1 + np.cos(np.pi * f)) + 0.005)
        model.train()
        pick = [pool[i][rng.integers(len(pool[i]))] for i in rng.integers(len(pool), size=o.batch)]
        rgb, kind, face = augment(torch.stack(pick), gen)
        kind, rim = targets(kind, face)
        with torch.autocast('cuda', dtype=torch.bfloat16):
            out = model(rgb.contiguous(memory_format=torch.channels_last))
        loss = loss_of(out, kind, rim, weight)
        opt.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(model.parameters(), 2.0)
        opt.step()
        step += 1
        keep = min(0.998, step / (step + 20))
        for k, v in model.state_dict().items():
            if v.dtype.is_floating_point:
                average[k].mul_(keep).add_(v.float(), alpha=1 - keep)
        if now - told > 20:
            told = now
            log.append({'seconds': round(now), 'step': step, 'loss': round(loss.item(), 4), 'scenes': sum(len(d) for d in pool)})
            print(log[-1], flush=True)
    state = {k: (average[k].to(v.dtype) if v.dtype.is_floating_point else v) for k, v in model.state_dict().items()}
    final = LayoutNet().cuda()
    final.load_state_dict(state)
    iou, eye, cap = scores_of(final, held)
    log.append({'held_out_iou': [round(x, 4) for x in iou], 'eye_092': eye, 'cap_080': cap, 'steps': step})
    print(log[-1], flush=True)
    json.dump(log, open(os.path.join(o.out, 'layout.log.json'), 'w'), indent=1)
    torch.save(state, os.path.join(o.out, 'layout.pt'))
    final.eval().cpu()
    x = held[:1, :3].float().cpu() / 255
    torch.onnx.export(final, x, os.path.join(o.out, 'layout.onnx'), opset_version=11, input_names=['photo'],
                      output_names=['layout'], dynamo=False)
    np.save(os.path.join(o.out, 'layout.check_in.npy'), x.numpy())
    with torch.no_grad():
        np.save(os.path.join(o.out, 'layout.check_out.npy'), final(x).numpy())


if __name__ == '__main__':
    main()
