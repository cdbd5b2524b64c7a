#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Draws patches without end into a ring of slots in shared memory, for train_tissue.py.

    patch_maker.py --ring FILE --slots 300 --batch 44 --size 288 --seed 7 [--device cuda:1] [--first 0] [--stride 1]

Slot k holds one batch, [batch, 6, size, size] bytes: R, G, B, label, fat, seam. FILE.SEED.count holds how many
slots this process has filled; it fills slots first, first + stride, ... and starts again at the end. Ends when
its parent does.
"""
import argparse
import os

import numpy as np
import torch

from drawn_patches import draw
from fields import Dice


class Ring:
    def __init__(self, path, slots, batch, size, create=False):
        shape = (slots, batch, 6, size, size)
        self.data = np.memmap(path, np.uint8, 'w+' if create else 'r+', shape=shape)
        self.path, self.slots = path, slots

    def filled(self, seeds):
        """How many batches each maker has written."""
        counts = []
        for s in seeds:
            try:
                counts.append(int(open(f'{self.path}.{s}.count').read() or 0))
            except (FileNotFoundError, ValueError):
                counts.append(0)
        return counts


def pack(rgb, label, fat, seam):
    byte = lambda v: (v * 255).round().to(torch.uint8)
    return torch.cat(
        [byte(rgb), label[:, None].to(torch.uint8), byte(fat)[:, None], byte(seam)[:, None]], 1
    )


def unpack(x):
    return x[:, :3].float() / 255, x[:, 3].long(), x[:, 4].float() / 255, x[:, 5].float() / 255


def main():
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument('--ring', required=True)
    ap.add_argument('--slots', type=int, default=300)
    ap.add_argument('--batch', type=int, default=44)
    ap.add_argument('--size', type=int, default=288)
    ap.add_argument('--seed', type=int, default=7)
    ap.add_argument('--device', default='cuda')
    ap.add_argument('--first', type=int, default=0)
    ap.add_argument('--stride', type=int, default=1)
    a = ap.parse_args()
    torch.cuda.set_device(a.device)
    ring = Ring(a.ring, a.slots, a.batch, a.size)
    dice = Dice(a.batch, torch.Generator(device=a.device).manual_seed(a.seed), a.device)
    parent, made, slot = os.getppid(), 0, a.first
    while os.getppid() == parent:
        with torch.no_grad():
            ring.data[slot] = pack(*draw(dice, a.size)).cpu().numpy()
        made += 1
        slot += a.stride
        slot = a.first if slot >= a.slots else slot
        with open(f'{a.ring}.{a.seed}.count', 'w') as h:
            h.write(str(made))


if __name__ == '__main__':
    main()
