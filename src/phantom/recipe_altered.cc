// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "math/rng.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

void Alter(Recipe& r, Altered altered) {
  r.altered = altered;
  math::Rng rng = math::Rng(r.seed).Fork(1400);
  switch (altered) {
    case Altered::kNone:
    case Altered::kEmpty:
      return;
    case Altered::kCooked:
      r.lean = {rng.Uniform(40, 60), rng.Uniform(2, 8), rng.Uniform(10, 18)};
      r.fat = {rng.Uniform(66, 82), rng.Uniform(2, 7), rng.Uniform(16, 28)};
      r.sear = rng.Uniform(0.35, 0.95);
      r.glare_share *= 0.5;
      return;
    case Altered::kGround:
      r.bone = false;
      r.eye_marbling = rng.Uniform(0.05, 0.35);
      r.connective_lines = 0;
      r.pieces = 1;
      return;
    case Altered::kUnfocused:
      // At least half a millimetre, so that it hides flecks at every scale.
      r.blur_sigma_px = std::max(rng.Uniform(7, 20), 0.7 * r.px_per_mm);
      return;
    case Altered::kFilm:
      r.film = rng.Uniform(0.6, 1.0);
      r.film_cover = rng.Uniform(0.55, 0.8);
      return;
  }
}

}  // namespace ribwright::phantom
