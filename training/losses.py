# SPDX-License-Identifier: Apache-2.0
"""What the network is asked to get right, and how it is measured on tiles held out."""
import numpy as np
import torch
import torch.nn.functional as F

from tissue_net import CLASSES

WEIGHT = [0.7, 1.0, 1.5, 1.0, 1.5, 1.0, 4.0]  # of each tissue in the cross entropy; assumed


def overlap(p, t, dims, floor=30.0):
    """1 - Dice, over each sample."""
    return (1 - (2 * (p * t).sum(dims) + floor) / (p.sum(dims) + t.sum(dims) + floor)).mean()


def loss_of(scores, label, fat, seam):
    scores = scores.float()
    ce = F.cross_entropy(scores[:, :CLASSES], label, weight=scores.new_tensor(WEIGHT))
    p = scores[:, :CLASSES].softmax(1)
    readable = ((label != 5) & (label != 0)).float()
    # Under glare the share is what the surroundings let expect, so that a sum over a face has no bias.
    weight = readable + 0.5 * (label == 5)
    is_fat = ((label == 2) | (label == 3)).float()
    dice = overlap((p[:, 2] + p[:, 3]) * readable, is_fat, (1, 2)) + 0.5 * overlap(
        p[:, 2] * readable, (label == 2).float(), (1, 2)
    )
    share_bits = F.binary_cross_entropy_with_logits(scores[:, CLASSES], fat, reduction='none')
    share_loss = (share_bits * weight).sum() / weight.sum().clamp(min=1)
    error = ((torch.sigmoid(scores[:, CLASSES]) - fat) * (label != 0))[:, None]
    area = F.avg_pool2d(error, 48).abs().mean()  # shares of small fields
    area = area + error.mean((1, 2, 3)).abs().mean()  # and of whole patches
    seam_loss = F.binary_cross_entropy_with_logits(
        scores[:, CLASSES + 1], seam, pos_weight=scores.new_tensor(2.0)
    )
    return ce + 0.5 * dice + 1.5 * share_loss + 1.5 * area + 0.4 * seam_loss


def measure(scores, label, fat, seam, at=0.5):
    """Sums for table(): intersections and unions a tissue, of all fat by either head, of seams; errors of shares."""
    scores = scores.float()
    pred = scores[:, :CLASSES].argmax(1)
    share = torch.sigmoid(scores[:, CLASSES])
    p = scores[:, :CLASSES].softmax(1)
    is_fat = (label == 2) | (label == 3)
    ok = (label != 0) & (label != 5)
    pairs = [((pred == c), (label == c)) for c in range(CLASSES)]
    pairs += [
        ((p[:, 2] + p[:, 3] > at) & ok, is_fat & ok),
        ((share > at) & ok, is_fat & ok),
        (torch.sigmoid(scores[:, CLASSES + 1]) > 0.5, seam > 0.5),
    ]
    inter = [float((a & b).sum()) for a, b in pairs]
    union = [float((a | b).sum()) for a, b in pairs]
    n = ok.float().sum((1, 2))
    err = 100 * (((share - fat) * ok).sum((1, 2)) / n.clamp(min=1))
    truth = 100 * ((fat * ok).sum((1, 2)) / n.clamp(min=1))
    keep = n > 0.3 * label[0].numel()
    return np.array(inter), np.array(union), err[keep].tolist(), truth[keep].tolist()


def table(parts):
    inter, union = sum(p[0] for p in parts), sum(p[1] for p in parts)
    err = np.array(sum((p[2] for p in parts), []))
    truth = np.array(sum((p[3] for p in parts), []))
    iou = [round(float(a / max(b, 1)), 3) for a, b in zip(inter, union)]
    low, none = truth < 10, truth < 1
    mean = lambda v: round(float(np.mean(v)), 3) if len(v) else None
    return {
        'iou': iou[:CLASSES],
        'fat_iou': iou[CLASSES],
        'share_iou': iou[CLASSES + 1],
        'seam_iou': iou[CLASSES + 2],
        'share_mae': mean(np.abs(err)),
        'share_mae_under_10': mean(np.abs(err[low])),
        'false_share_under_1': mean(err[none]),
    }
