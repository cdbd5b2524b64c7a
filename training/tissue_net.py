# SPDX-License-Identifier: Apache-2.0
"""The tissue network: R G B in 0..1 (sRGB codes) to nine scores a pixel.

Scores 0..6 are the tissues (outside, lean, fat in muscle, other fat, bone, glare, connective line; before softmax),
7 the fat share of the pixel and 8 the border between muscles (before the logistic function). The first layer
halves the picture and the last one gives each coarse pixel four sets of scores (depth to space), so all 3x3 layers
work on a quarter of the pixels or fewer; on one core it costs about half a second a megapixel.
"""
import torch
import torch.nn as nn
import torch.nn.functional as F

CLASSES = 7
SCORES = CLASSES + 2


def layer(i, o, stride=1, dilation=1, kernel=3):
    return nn.Sequential(
        nn.Conv2d(i, o, kernel, stride, dilation * (kernel - 1) // 2, dilation, bias=False),
        nn.BatchNorm2d(o),
        nn.ReLU(inplace=True),
    )


class TissueNet(nn.Module):
    def __init__(self, width=(24, 48, 96, 128)):
        super().__init__()
        a, b, c, d = width
        self.stem = layer(3, a, 2, kernel=6)
        self.e0 = layer(a, a)
        self.e1 = nn.Sequential(layer(a, b, 2), layer(b, b))
        self.e2 = nn.Sequential(layer(b, c, 2), layer(c, c), layer(c, c))
        self.e3 = nn.Sequential(layer(c, d, 2), layer(d, d), layer(d, d, 1, 2), layer(d, d, 1, 4))
        self.r3, self.r2, self.r1 = nn.Conv2d(d, c, 1), nn.Conv2d(c, b, 1), nn.Conv2d(b, a, 1)
        self.d2 = nn.Sequential(layer(c, c), layer(c, c))
        self.d1 = nn.Sequential(layer(b, b), layer(b, b))
        self.d0 = nn.Sequential(layer(a, a), layer(a, a))
        self.head = nn.Conv2d(a, 4 * SCORES, 1)

    def coarse(self, x):
        """Four sets of scores for each 2x2 pixels: [B, 36, H / 2, W / 2], channel = 4 score + 2 dy + dx."""

        def up(v):
            return F.interpolate(v, scale_factor=2.0, mode='nearest')

        x0 = self.e0(self.stem(x))
        x1 = self.e1(x0)
        x2 = self.e2(x1)
        y = self.d2(F.relu(up(self.r3(self.e3(x2))) + x2))
        y = self.d1(F.relu(up(self.r2(y)) + x1))
        y = self.d0(F.relu(up(self.r1(y)) + x0))
        return self.head(y)

    def forward(self, x):
        return F.pixel_shuffle(self.coarse(x), 2)


class Exported(nn.Module):
    """What runs in the program: batch norm folded into the convolutions, coarse scores out."""

    def __init__(self, net):
        super().__init__()
        self.net = net

    def forward(self, x):
        return self.net.coarse(x)


def export(net, path, tile):
    """ONNX, opset 11, one fixed tile size. The exporter folds batch norm in evaluation mode."""
    net = net.float().eval().cpu().to(memory_format=torch.contiguous_format)
    x = torch.rand(1, 3, tile, tile)
    more = {} if torch.__version__.startswith('1.') else {'dynamo': False}
    torch.onnx.export(
        Exported(net).eval(),
        x,
        path,
        opset_version=11,
        input_names=['rgb'],
        output_names=['scores'],
        **more
    )
