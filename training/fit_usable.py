#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Fits what tells a photo that nobody should judge from a good one (src/face/usable.h).

    build/release/bench/face_traits PHOTO... > traits.csv
    training/fit_usable.py traits.csv [--told TEXT] [--write src/face/usable_fitted.h]

Photos are phantoms of work seeds, as `bench/reach`'s refusals part keeps them: SEED_mixed.jpg is good, SEED_cooked,
_ground, _unfocused and _film.jpg are not. One logistic rule a kind against the good ones, on few traits each that
have a reason; a ridge of 1 on standardised traits (assumed). Printed: what rules fitted on seven eighths of the seeds
do on the eighth that they have not seen. A kind is told of from the log odds on that lie midway between the good
ones' 98th percentile and the kind's own 4th.
"""
import argparse
import csv
import re
import sys

import numpy as np

KINDS = {
    "cooked": ["lean_green", "lean_blue", "fat_above_lean", "lean_even"],
    "ground": ["muscle_share", "lean_even", "fat_above_lean"],
    "unfocused": ["middle", "edge", "fine"],
    "film": ["pale_not_fat", "unreadable", "lean_even", "edge", "lean_green", "muscle_share"],
}
RIDGE = 1.0
FOLDS = 8


def fit(rows, y):
    b = np.zeros(rows.shape[1])
    ridge = np.r_[1e-6, np.full(len(b) - 1, RIDGE)]
    for _ in range(50):
        p = 1 / (1 + np.exp(-rows @ b))
        step = np.linalg.solve((rows * (p * (1 - p))[:, None]).T @ rows + np.diag(ridge), rows.T @ (p - y) + ridge * b)
        b -= step
        if np.abs(step).max() < 1e-9:
            return b
    sys.exit("fit_usable: the fit does not settle")


def read(paths):
    kinds, traits, folds = [], [], []
    names = None
    for path in paths:
        with open(path, encoding="utf-8", newline="") as file:
            reader = csv.reader(file)
            names = next(reader)[2:]
            for row in reader:
                found = re.search(r"(\d+)_(\w+)\.jpg$", row[0])
                if not found:
                    sys.exit(f"fit_usable: {row[0]} is not named SEED_KIND.jpg")
                if len(row) == 2:
                    continue  # refused already
                kinds.append(found[2])
                folds.append(int(found[1]) % FOLDS)
                traits.append([float(x) for x in row[2:]])
    return names, np.array(kinds), np.array(traits), np.array(folds)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("tables", nargs="+")
    parser.add_argument("--told", default="")
    parser.add_argument("--write")
    args = parser.parse_args()
    names, kinds, traits, folds = read(args.tables)
    lines = []
    for kind, used in KINDS.items():
        at = [names.index(u) for u in used]
        chosen = (kinds == "mixed") | (kinds == kind)
        x, y, fold = traits[chosen][:, at], (kinds[chosen] == kind).astype(float), folds[chosen]
        mean, sd = x.mean(0), x.std(0) + 1e-9
        z = np.c_[np.ones(len(x)), (x - mean) / sd]
        unseen = np.zeros(len(y))
        for f in range(FOLDS):
            unseen[fold == f] = z[fold == f] @ fit(z[fold != f], y[fold != f])
        told_at = (np.quantile(unseen[y == 0], 0.98) + np.quantile(unseen[y == 1], 0.04)) / 2
        caught = np.mean(unseen[y == 1] > told_at)
        false = np.mean(unseen[y == 0] > told_at)
        print(f"{kind}: from log odds {told_at:.2f}; caught {100 * caught:.0f} % of {int(y.sum())}, good ones told of {100 * false:.0f} % of {int((1 - y).sum())}")
        b = fit(z, y)
        weights = np.zeros(len(names))
        weights[at] = b[1:] / sd
        constant = b[0] - (b[1:] * mean / sd).sum() - told_at
        numbers = ", ".join(f"{w:.4f}" for w in weights)
        lines.append(f"    {{{constant:.4f}, {{{numbers}}}}},  // {kind}")
    if args.write:
        text = (
            "// SPDX-License-Identifier: Apache-2.0\n"
            "// Made by training/fit_usable.py --write; not edited by hand. usable.h says what it means.\n"
            f"// {args.told}\n#pragma once\n\n#include <array>\n\n#include \"face/face_traits.h\"\n\n"
            "namespace ribwright::face {\n\n"
            "struct UnusableRule {\n  double constant;\n  std::array<double, kTraits> weights;\n};\n\n"
            "// clang-format off\n"
            "inline constexpr std::array<UnusableRule, 4> kUnusableRules{{\n" + "\n".join(lines) + "\n}};\n"
            "// clang-format on\n\n}  // namespace ribwright::face\n")
        with open(args.write, "w", encoding="utf-8") as file:
            file.write(text)


if __name__ == "__main__":
    main()
