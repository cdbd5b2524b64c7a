# SPDX-License-Identifier: Apache-2.0
"""The lines of bench/reach for the parts written in Python; reach_rows.h is the same for C++."""


class Lines:
    def __init__(self):
        self.short = self.skipped = 0

    def _print(self, name, measured, limit, verdict, note):
        note = f" ({note})" if note else ""
        print(f"{name:<68} | {measured:>14} | {limit:>18} | {verdict}{note}", flush=True)

    def at_most(self, name, value, limit, unit="", digits=2, note=""):
        self._judge(name, value, f"<= {limit:.{digits}f} {unit}".strip(), value <= limit, unit, digits, note)

    def at_least(self, name, value, limit, unit="", digits=2, note=""):
        self._judge(name, value, f">= {limit:.{digits}f} {unit}".strip(), value >= limit, unit, digits, note)

    def shown(self, name, value, unit="", digits=2, note=""):
        """A number that is printed and has no limit."""
        self._judge(name, value, "none", True, unit, digits, note)

    def skip(self, name, limit, why):
        self.skipped += 1
        self._print(name, "-", limit, "skipped", why)

    def _judge(self, name, value, limit, reached, unit, digits, note):
        if not reached:
            self.short += 1
        self._print(name, f"{value:.{digits}f} {unit}".strip(), limit, "ok" if reached else "short", note)

    def exit_code(self):
        return 1 if self.short else 4 if self.skipped else 0
