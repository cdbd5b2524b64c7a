#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes tests/golden/tissue_net.csv: the network's scores by PyTorch on a tile that a formula makes.

    golden_scores.py WEIGHTS.pt tests/golden/tissue_net.csv

The C++ test makes the same tile and runs the ONNX file through OpenCV: another route to the same numbers.
"""
import csv
import sys

import numpy as np
import torch

from tissue_net import TissueNet

SIDE = 512
PLACES = [(100, 100), (257, 101), (256, 256), (77, 300), (380, 411), (511, 200), (0, 0), (33, 480)]


def tile():
    """[3, SIDE, SIDE] bytes: lean of a rough pattern with pale bars."""
    y, x = np.mgrid[0:SIDE, 0:SIDE]
    bar = ((x // 24 + y // 40) % 5 == 0).astype(int)
    return (
        np.stack(
            [
                120 + (x * 7 + y * 3) % 60 + 70 * bar,
                55 + (x * 5 + y * 11) % 40 + 140 * bar,
                55 + (x * 3 + y * 13) % 30 + 120 * bar,
            ]
        )
        .clip(0, 255)
        .astype(np.uint8)
    )


def main():
    net = TissueNet()
    net.load_state_dict(torch.load(sys.argv[1], map_location='cpu'))
    with torch.no_grad():
        scores = net.eval()(torch.from_numpy(tile())[None].float() / 255)[0].numpy()
    with open(sys.argv[2], 'w', newline='') as h:
        out = csv.writer(h, lineterminator='\n')
        out.writerow(
            'id,score,x,y,expected,unit,tol_abs,tol_rel,tol_reason,source,locator,status,note'.split(',')
        )
        for k, (x, y) in enumerate(PLACES):
            for s in range(k % 3, 9, 3):
                out.writerow(
                    [
                        f'TN{k}{s}',
                        s,
                        x,
                        y,
                        f'{scores[s, y, x]:.4f}',
                        '1',
                        '0.002',
                        '0',
                        'single precision: sums of thousands of terms in another order',
                        'tissue-net-pytorch',
                        'training/golden_scores.py',
                        'computed',
                        '',
                    ]
                )


if __name__ == '__main__':
    main()
