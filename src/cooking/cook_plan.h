// SPDX-License-Identifier: Apache-2.0
// A cook worked out beforehand: minutes a side, flips, when to pull, how long to rest, and what
// comes of it, so that the core peaks (after carry-over) at the wanted temperature.
//
// One number is searched: the cooking time (pan, grill, oven), the oven's time before a fixed sear
// (reverse sear), or the bath's temperature (bath then sear; its time is that to come within 0.5
// K). The peak core temperature rises with it, so a bracketed search ends within 0.1 K. Without a
// wish the number of flips is chosen: 1, 3, 5 or 9, more only where each step saves half a
// millimetre of grey. Grey is meat whose myoglobin is 93 % gone (juice.h), crust included.
//
// Doubt: 90 % half widths of thickness (given), h 30 %, hot surface 10 K, start 1 K, conductivity
// 8 % (assumed), each tried alone on the found plan, their effects added as squares.
// Range: 8 to 120 mm, start -25 to 30 deg C and below the target, target 40 to 90 deg C; errors
// kCookUnusable, kCookUnsafe (guidance.h). Cost: a search of flips about 20 ms. Thread-safe.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "cooking/conduction.h"
#include "cooking/guidance.h"
#include "units/measured.h"

namespace ribwright::cooking {

enum class Method { kPan, kGrill, kOven, kReverseSear, kBathThenSear };
Result<Method> MethodFromText(std::string_view text);  // pan grill oven reverse-sear bath
std::string_view MethodText(Method method);

// A house's own equipment; defaults are for a first try. h W/(m2 K), temperatures deg C.
struct Hardware {
  double pan_h = 450.0;    // contact grills: 250 to 650 (read)
  double pan_c = 220.0;    // assumed
  double grill_h = 130.0;  // radiation and hot grate together, assumed
  double grill_c = 280.0;  // assumed
  double above_h = 12.0;   // air over the pan, assumed
  double above_c = 45.0;
  double oven_h = 33.0;  // fan oven (memory); still air 10 to 25
  double oven_c = 120.0;
  double oven_wetness = 0.1;       // of a face whose skin has dried, assumed
  double oven_vapour_pa = 2000.0;  // assumed: kitchen air with some steam of the meat
  double bath_h = 95.0;            // memory; 95 to 155
  double room_h = 12.0;            // with radiation, assumed
  double room_c = 22.0;
  double room_wetness = 0.3;  // assumed
};

struct CookRequest {
  Method method = Method::kPan;
  double thickness_mm = 0.0;
  double thickness_doubt_mm = 1.5;
  double start_c = 5.0;
  double fat_pct = 10.0;
  double target_c = 55.5;
  int flips = -1;              // -1: choose; pan and grill only
  double sear_seconds = 60.0;  // a side, reverse sear and bath
  double pause_seconds = 0.0;  // in room air before the sear
  bool from_frozen = false;
  bool meet_table = false;  // bath: stay until the published hold is met at the core
  double weight_g = 0.0;    // 0: not known
  MeatCase meat = MeatCase::kIntact;
  bool susceptible_guests = false;
  Hardware hardware;
};

struct CookStep {
  std::string what;  // "pan, first side down"
  double starts_s;
  double lasts_s;
};

struct ProfilePoint {
  double depth_mm, pulled_c, served_c, peak_c;
};

struct CookPlan {
  Method method = Method::kPan;
  std::vector<CookStep> steps;  // the rest is the last
  int flips = 0;
  double cook_s = 0.0;  // up to the pull
  double rest_s = 0.0;  // to the core's peak
  double bath_c = 0.0;  // bath then sear only
  Measured pull_c;      // core when it leaves the heat
  Measured peak_c;
  Measured cook_min;  // the time that would hit the target, with the same doubt
  double grey_a_mm = 0.0, grey_b_mm = 0.0;
  double crust_a_mm = 0.0, crust_b_mm = 0.0;
  Measured loss_pct;
  Measured serving_g;  // unknown without a weight
  double face_a_peak_c = 0.0, face_b_peak_c = 0.0;
  double table_credit = 0.0;  // LogCredit of the coldest point
  std::vector<ProfilePoint> through;
  std::vector<Sample> record;
  std::vector<Caution> cautions;
  HeatingSummary heat;
  int runs = 0;  // simulated cooks that the search took
};

Status CheckRequest(const CookRequest& request);
Result<CookPlan> PlanCook(const CookRequest& request);

}  // namespace ribwright::cooking
