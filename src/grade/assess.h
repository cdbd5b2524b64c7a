// SPDX-License-Identifier: Apache-2.0
// The grade stage: from the measured numbers of a face to odds on published scales, the house spec
// and signs. Reads nothing but the face and the request; deterministic; thread-safe.
//
// Where the photo's standing warnings say that the meat does not look like raw beef, no beef scale
// is read: chemical fat, degree, grades and rib position stay empty with that reason.
//
// Fills imf_pct, marbling_degree, grade_odds, rib_position, spec and signs. Keys of grade_odds:
//   us           quality grade at the given maturity ("prime" ... "canner")
//   us_sub       thirds and halves, at A maturity without dark cutting ("choice-")
//   us_yield     yield grade "1".."5", where carcass data are given
//   japan        quality grade "5".."1" by the marbling item
//   japan_bms    marbling number "1".."12"
//   japan_yield  yield letter, where carcass data are given
// marbling_degree has the keys "practically_devoid" ... "abundant".
// The share of visible fat is that of the longissimus; without one, of the gluteus medius, else of
// all muscles, with wider odds and the basis saying so. Where no share is known the odds stay empty
// and their basis is the reason. Odds are never official grades: kGradeNotOfficial is added once;
// kMaturityAssumed where nothing states the maturity; kLineOutOfRange where the published line of
// chemical fat does not reach the measured share.
#pragma once

#include <optional>
#include <vector>

#include "grade/carcass.h"
#include "grade/house_spec.h"
#include "grade/rib_position.h"
#include "grade/us_quality.h"
#include "report/photo_report.h"

namespace ribwright::grade {

struct GradeRequest {
  std::optional<Maturity> maturity;    // given by the user; before the carcass file's
  std::optional<double> dark_cutting;  // part of a grade, 0..1; nothing: none is assumed
  std::optional<Carcass> carcass;
  std::optional<HouseSpec> house_spec;
  RibNumbering rib_numbering = RibNumbering::kBones;
  std::optional<double> bloom_min;
  bool colour_calibrated = false;
  std::vector<Code> standing;  // warnings of the photo and its faces
};

void Assess(const GradeRequest& request, report::Face& face,
            std::vector<report::Caution>& warnings);

}  // namespace ribwright::grade
