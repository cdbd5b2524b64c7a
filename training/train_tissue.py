#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Trains the tissue network on drawn patches and phantoms alone and exports it to ONNX (opset 11).

    train_tissue.py --out DIR [--tiles DIR] [--seconds 400] [--seed 1] [--drawn 44] [--phantoms 20]

Drawn patches are made as training goes by --makers processes (patch_maker.py), on the second GPU where there is
one, and are seen a few times each, turned and mirrored. --tiles DIR holds tiles.*.bin of phantom_dump
--format raw --tile 384; files that appear while training runs are taken in. Needs PyTorch with one GPU. Of each 12
files of phantoms one is held out; drawn patches of another seed are held out too. DIR gets tissue.onnx, tissue.pt
and log.json: the weights are an average over the last steps (--decay).
"""
import argparse
import copy
import glob
import json
import os
import subprocess
import sys
import time

import numpy as np
import torch

from drawn_patches import draw
from fields import Dice
from losses import loss_of, measure, table
from patch_maker import Ring, unpack
from tiles import SIDE, Tiles, prepare, seams
from tissue_net import TissueNet, export


class Average:
    """Running average of weights and of batch norm's means."""

    def __init__(self, net, decay):
        self.net, self.decay, self.steps = copy.deepcopy(net).eval(), decay, 0
        self.mine = [v for v in self.net.state_dict().values() if v.is_floating_point()]
        self.new = [v for v in net.state_dict().values() if v.is_floating_point()]

    @torch.no_grad()
    def update(self):
        self.steps += 1
        torch._foreach_lerp_(self.mine, self.new, 1 - min(self.decay, self.steps / (self.steps + 20)))


class Drawn:
    """Batches of drawn patches, from processes that draw them."""

    def __init__(self, a):
        self.path = f'/dev/shm/patches.{os.getpid()}'
        self.ring = Ring(self.path, a.slots, a.drawn, a.size, create=True)
        self.seeds = [1000 * a.seed + k for k in range(a.makers)]
        self.makers, self.rng = a.makers, np.random.default_rng(a.seed)
        here = os.path.dirname(os.path.abspath(__file__))
        device = f'cuda:{torch.cuda.device_count() - 1}'
        self.work = [
            subprocess.Popen(
                [
                    sys.executable,
                    os.path.join(here, 'patch_maker.py'),
                    '--ring',
                    self.path,
                    '--slots',
                    str(a.slots),
                    '--batch',
                    str(a.drawn),
                    '--size',
                    str(a.size),
                    '--seed',
                    str(s),
                    '--device',
                    device,
                    '--first',
                    str(k),
                    '--stride',
                    str(a.makers),
                ]
            )
            for k, s in enumerate(self.seeds)
        ]
        self.refresh()

    def refresh(self):
        self.counts = self.ring.filled(self.seeds)
        return sum(self.counts)

    def next(self):
        k = int(self.rng.integers(self.makers))
        mine = len(range(k, self.ring.slots, self.makers))
        filled = min(self.counts[k], mine)
        writing = self.counts[k] % mine
        while True:
            i = int(self.rng.integers(max(filled, 1)))
            if i != writing or filled < 3:
                break
        x = torch.from_numpy(self.ring.data[k + i * self.makers]).cuda(non_blocking=True)
        turns = int(self.rng.integers(4))
        x = torch.rot90(x, turns, (2, 3)) if turns else x
        return unpack(x.flip(3) if self.rng.integers(2) else x)

    def close(self):
        for w in self.work:
            w.terminate()
        for w in self.work:
            w.wait()
        for f in glob.glob(self.path + '*'):
            os.remove(f)


def run(net, rgb):
    with torch.no_grad(), torch.autocast('cuda', dtype=torch.bfloat16):
        return net(rgb.to(memory_format=torch.channels_last))


def evaluate(net, tiles, seed, size):
    g = torch.Generator(device='cuda').manual_seed(seed)
    drawn = []
    for _ in range(10):
        rgb, label, fat, seam = draw(Dice(48, g, 'cuda'), size)
        drawn.append(measure(run(net, rgb), label, fat, seam))
    row = {'drawn': table(drawn)}
    if tiles is not None and tiles.held:
        parts = []
        for x in torch.cat(tiles.held).split(32):
            x = x.cuda()
            parts.append(
                measure(
                    run(net, x[:, :3].float() / 255),
                    x[:, 3].long(),
                    x[:, 5].float() / 255,
                    seams(x[:, 4:5].float()),
                )
            )
        row['phantoms'] = table(parts)
    return row


def main():
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument('--tiles')
    ap.add_argument('--out', required=True)
    ap.add_argument('--seconds', type=float, default=400)
    ap.add_argument('--room', type=int, default=30000)
    ap.add_argument('--drawn', type=int, default=44, help='drawn patches a step')
    ap.add_argument('--phantoms', type=int, default=20, help='phantom tiles a step, once 1000 are there')
    ap.add_argument('--size', type=int, default=288)
    ap.add_argument('--makers', type=int, default=3, help='processes that draw')
    ap.add_argument('--slots', type=int, default=360, help='batches of drawn patches kept')
    ap.add_argument('--rate', type=float, default=3e-3)
    ap.add_argument('--start', help='weights (tissue.pt) to go on from')
    ap.add_argument('--decay', type=float, default=0.9993, help='of the running average of weights')
    ap.add_argument('--seed', type=int, default=1)
    ap.add_argument('--tile', type=int, default=512, help='side of the exported network')
    a = ap.parse_args()
    torch.manual_seed(a.seed)
    g = torch.Generator(device='cuda').manual_seed(a.seed)
    torch.backends.cudnn.benchmark = True
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    tiles = Tiles(a.tiles, a.room) if a.tiles else None
    net = TissueNet()
    if a.start:
        net.load_state_dict(torch.load(a.start, map_location='cpu'))
    net = net.cuda().to(memory_format=torch.channels_last)
    average = Average(net, a.decay)
    tile_dice = Dice(a.phantoms, g, 'cuda')
    drawn = Drawn(a)
    while min(drawn.counts) < 6:
        time.sleep(1)
        drawn.refresh()
    decay = [p for p in net.parameters() if p.ndim > 1]
    plain = [p for p in net.parameters() if p.ndim <= 1]
    opt = torch.optim.AdamW(
        [{'params': decay, 'weight_decay': 1e-2}, {'params': plain, 'weight_decay': 0}], lr=a.rate
    )
    os.makedirs(a.out, exist_ok=True)
    start, step, log = time.time(), 0, []
    while (t := (time.time() - start) / a.seconds) < 1:
        for group in opt.param_groups:
            group['lr'] = a.rate * min(1.0, (step + 1) / 300) * 0.5 * (1 + np.cos(np.pi * t)) + 1e-5
        if step % 50 == 0:
            made = drawn.refresh()
            if tiles is not None:
                tiles.refresh()
        with torch.no_grad():
            batch = drawn.next()
            if tiles is not None and tiles.count >= 1000:
                i = torch.randint(0, tiles.count, (a.phantoms,), device='cuda', generator=g)
                batch = [torch.cat(p) for p in zip(batch, prepare(tile_dice, tiles.data[i], a.size))]
        rgb, label, fat, seam = batch
        with torch.autocast('cuda', dtype=torch.bfloat16):
            scores = net(rgb.to(memory_format=torch.channels_last))
        loss = loss_of(scores, label, fat, seam)
        opt.zero_grad(set_to_none=True)
        loss.backward()
        opt.step()
        average.update()
        if step % 250 == 0:
            row = {
                'step': step,
                'seconds': round(time.time() - start, 1),
                'tiles': tiles.count if tiles else 0,
                'patches': made * a.drawn,
                'loss': round(loss.item(), 4),
            }
            if step % 4000 == 0 and step:
                row.update(evaluate(average.net, tiles, 990001, a.size))
                torch.save(average.net.state_dict(), os.path.join(a.out, 'tissue.pt'))
            log.append(row)
            print(json.dumps(row), flush=True)
        step += 1
    drawn.close()
    final = evaluate(average.net, tiles, 990001, a.size)
    print(json.dumps({'steps': step, 'drawn_patches': made * a.drawn, **final}), flush=True)
    torch.save(average.net.state_dict(), os.path.join(a.out, 'tissue.pt'))
    with open(os.path.join(a.out, 'log.json'), 'w') as h:
        json.dump(
            {
                'args': vars(a),
                'steps': step,
                'tiles': tiles.count if tiles else 0,
                'drawn_patches': made * a.drawn,
                'final': final,
                'log': log,
            },
            h,
            indent=1,
        )
    export(average.net, os.path.join(a.out, 'tissue.onnx'), a.tile)


if __name__ == '__main__':
    main()
