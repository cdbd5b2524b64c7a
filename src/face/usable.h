// SPDX-License-Identifier: Apache-2.0
// Which photos nobody should judge: rules on a face's traits (face_traits.h) that tell cooked meat,
// ground meat, a photo out of focus and film over the meat from a raw cut face in focus, fitted on
// phantoms altered that way (training/fit_usable.py, docs/science/usable.md), and one rule on
// paleness that tells pork and veal from beef. A caution, not proof; what passes may still be
// wrong.
#pragma once

#include <vector>

#include "face/face_traits.h"
#include "report/photo_report.h"

namespace ribwright::face {

// not_beef_like (cooked, ground, pale), out_of_focus, glare_heavy (film); at most one of a code.
std::vector<report::Caution> DoubtsOf(const FaceTraits& traits);

}  // namespace ribwright::face
