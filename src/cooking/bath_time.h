// SPDX-License-Identifier: Apache-2.0
// Minutes in a water bath until the coldest point of bagged meat has had a tabulated kill.
//
// The model behind the published table (baldwin2012): diffusivity 1.11e-7 m2/s and h 95 W/(m2 K),
// chosen slow on purpose (memory), a slab up to 30 mm, and one organism of D60 4.17 min, z 8.05 K,
// 6 logs. D60, z and the shape exponent above 30 mm (0.20; recalled as 0.28) are fitted to the
// table (computed): rms 6 %, no row more than 12 % on the short side; the author rounds to 5 or
// 15 min. Range: 5 to 70 mm, bath 55 to 66 deg C, start above freezing to 20 deg C: outside,
// kCookUnusable. Thread-safe.
#pragma once

#include "base/result.h"

namespace ribwright::cooking {

Result<double> BathSeconds(double thickness_mm, double bath_c, double start_c = 5.0);

}  // namespace ribwright::cooking
