#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""The photograph rows of `bench/reach judge`; bench/reach starts it.

Uses ../shared/tools/score_photos and ../shared/photos beside the checkout where they are present; else every
row is skipped. One setting of the program serves all sets. Nothing of the photographs is kept: judged files go
to a temporary folder.
"""
import argparse
import json
import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from reach_lines import Lines

ROOT = Path(__file__).resolve().parent.parent
# set, figure as the scorer prints it, name, limit
FIGURES = [
    ("pork", "iou", "photographs, pork loin: overlap of fat (IoU)", 0.47),
    ("crops", "rho", "photographs, beef crops: rank correlation (Spearman)", 0.86),
    ("crops", "qwk_2fold", "photographs, beef crops: weighted kappa", 0.84),
    ("steaks", "auc_prime_choice", "photographs, steaks: AUC prime over choice", 0.92),
    ("steaks", "auc_choice_select", "photographs, steaks: AUC choice over select", 0.85),
]
GRADES = ("prime", "choice", "select")
ODDS_ROW = "photographs, steaks: stated grade gets odds of 10 % on"
LOG_ROW = "photographs, steaks: mean log score of the stated grade"
LEAST_ODDS = 0.10


def find_shared():
    """The folder beside the checkout, or beside its main working tree."""
    places = [ROOT.parent / "shared", ROOT.parent.parent / "shared"]
    return next((p for p in places if (p / "photos").is_dir() and (p / "tools/score_photos").is_file()), None)


def scores(shared, binary):
    """{set: {figure: value}} from the scorer, or its error text."""
    run = subprocess.run(["/usr/bin/python3", str(shared / "tools/score_photos"), "--binary", str(binary), "pork", "crops", "steaks"],
                         stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    if run.returncode != 0:
        return None, run.stderr.strip().splitlines()[-1:] or ["no message"]
    found = {}
    for line in run.stdout.splitlines():
        name, _, rest = line.partition(":")
        found[name] = {k: float(v) for k, v in re.findall(r"(\w+)=(-?[\d.]+)(?=\s|$)", rest)}
    return found, run.stdout.splitlines()


def stated_grade_odds(shared, binary):
    """One number a steak: odds of the grade that its folder states; 0 where nothing was said."""
    odds = []
    folder = shared / "photos/steaks"
    photos = [(p, d) for d in GRADES for p in sorted((folder / d).iterdir())]
    with tempfile.TemporaryDirectory() as work:
        for number, (photo, grade) in enumerate(photos):
            out = Path(work) / f"{number}.json"
            subprocess.run([str(binary), "judge", str(photo), "--card", "none", "--json", str(out)],
                           stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL)
            faces = json.loads(out.read_text()).get("faces", []) if out.exists() else []
            table = faces[0].get("grade_odds", {}).get("us", {}) if faces else {}
            table = table.get("odds", table)
            odds.append(float(table.get(grade, 0.0)))
    return odds


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--binary", default=ROOT / "build/release/ribwright", type=Path)
    args = parser.parse_args()
    lines = Lines()
    shared = find_shared()
    why = "no ../shared/photos beside the checkout" if shared is None else None
    found = None
    if shared:
        found, words = scores(shared, args.binary.resolve())
        for line in words:
            print("# " + line)
        if found is None:
            why = "the scorer failed; bench/setup installs what it needs"
    for name, figure, title, limit in FIGURES:
        value = (found or {}).get(name, {}).get(figure)
        if value is None:
            lines.skip(title, f">= {limit:.2f}", why or f"the scorer printed no {figure}")
        else:
            lines.at_least(title, value, limit)
    if shared is None:
        lines.skip(ODDS_ROW, ">= 90.0 %", why)
        lines.skip(LOG_ROW, "none", why)
    else:
        odds = stated_grade_odds(shared, args.binary.resolve())
        note = f"n {len(odds)}; the folders' grades are unverified"
        lines.at_least(ODDS_ROW, 100 * sum(o >= LEAST_ODDS for o in odds) / len(odds), 90, "%", 1, note)
        lines.shown(LOG_ROW, sum(math.log(max(o, 1e-3)) for o in odds) / len(odds), "", 2,
                    "natural logarithm, odds under 0.001 count as 0.001")
    return lines.exit_code()


if __name__ == "__main__":
    sys.exit(main())
