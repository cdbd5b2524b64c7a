// SPDX-License-Identifier: Apache-2.0
// Korean yield index, kept as a check beside the American and Japanese equations (Song & Hwang
// 2023, Food Sci Anim Resour 43(3):531, Table 1; read):
//   68.184 - 0.625 fat(mm) + 0.130 ribeye(cm2) - 0.024 carcass(kg) [+ 3.23 for the native breed]
// A from 67.20, B from 63.30, C below. Fat and ribeye are taken at the last rib.
#pragma once

namespace ribwright::grade {

inline double KoreanYieldIndex(double fat_mm, double ribeye_cm2, double carcass_kg,
                               bool native_breed) {
  return 68.184 - 0.625 * fat_mm + 0.130 * ribeye_cm2 - 0.024 * carcass_kg +
         (native_breed ? 3.23 : 0.0);
}
inline char KoreanYieldLetter(double index) {
  if (index >= 67.20) return 'A';
  return index >= 63.30 ? 'B' : 'C';
}

}  // namespace ribwright::grade
