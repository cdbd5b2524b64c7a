// SPDX-License-Identifier: Apache-2.0
#include "photo/face_plane.h"

#include <Eigen/LU>
#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/core.hpp>
#include <string>

#include "base/check.h"
#include "photo/card_layout.h"
#include "photo/least_squares.h"

namespace ribwright::photo {
namespace {

constexpr double kExifLogSd = 0.02;
constexpr double kShortestFocal35 = 10.0;  // of lenses one photographs food with; assumed
constexpr double kLongestFocal35 = 200.0;
constexpr double kAssumedFocal35 = 27.0;
constexpr double kAssumedFocalLogSd = 0.35;
constexpr double kUnevenPrintSd = 0.002;  // of one direction's scale against the other's; assumed
constexpr double kDistanceUnknownLogSd = 0.12;
constexpr double kLeastThicknessSdMm = 0.1;
constexpr double kTestLengthMm = 100.0;

cv::Matx33d CameraInverse(double focal_px, cv::Size size) {
  const double f = 1.0 / focal_px;
  return {f, 0.0, -f * size.width / 2.0, 0.0, f, -f * size.height / 2.0, 0.0, 0.0, 1.0};
}

cv::Vec3d Column(const cv::Matx33d& m, int c) { return {m(0, c), m(1, c), m(2, c)}; }

// How far the card's directions are from square and from equal length, were the focal length this.
Eigen::Vector2d Unsquareness(const cv::Matx33d& px_from_mm, double focal_px, cv::Size size) {
  const cv::Matx33d pose = CameraInverse(focal_px, size) * px_from_mm;
  const cv::Vec3d a = Column(pose, 0);
  const cv::Vec3d b = Column(pose, 1);
  return {a.dot(b) / (cv::norm(a) * cv::norm(b)), std::log(cv::norm(a) / cv::norm(b))};
}

struct Posterior {
  double log_mean = 0.0;
  double log_sd = 0.0;
};

Posterior MeetPrior(const CardFound& card, cv::Size size, double prior_log, double prior_sd) {
  const auto squareness = [&](double log_focal) {
    const auto of_fit = [&](const Eigen::VectorXd& p) -> Eigen::VectorXd {
      return Unsquareness(card.px_from_design.MatrixAt(p), std::exp(log_focal), size);
    };
    const Eigen::VectorXd parameters = card.px_from_design.parameters;
    const Eigen::MatrixXd j = NumericJacobian(of_fit, parameters);
    Eigen::Matrix2d covariance = j * card.px_from_design.covariance * j.transpose();
    covariance.diagonal().array() += kUnevenPrintSd * kUnevenPrintSd;
    const Eigen::Vector2d r = of_fit(parameters);
    return r.dot(covariance.inverse() * r) + std::log(covariance.determinant());
  };
  constexpr int kSteps = 161;
  std::array<double, kSteps> cost{};
  std::array<double, kSteps> at{};
  double least = 1e300;
  for (std::size_t i = 0; i < kSteps; ++i) {
    const double z = -4.0 + 8.0 * static_cast<double>(i) / (kSteps - 1);
    at[i] = prior_log + prior_sd * z;
    cost[i] = z * z + squareness(at[i]);
    least = std::min(least, cost[i]);
  }
  double weight = 0.0;
  double mean = 0.0;
  double square = 0.0;
  for (std::size_t i = 0; i < kSteps; ++i) {
    const double w = std::exp(-0.5 * (cost[i] - least));
    weight += w;
    mean += w * at[i];
    square += w * at[i] * at[i];
  }
  mean /= weight;
  // The grid's own step is the least spread it can tell.
  const double step = at[1] - at[0];
  const double variance = std::max(step * step / 12.0, square / weight - mean * mean);
  return {mean, std::sqrt(variance)};
}

cv::Matx33d RealPxFromMm(const CardFound& card, const Vector8& parameters, double print_scale) {
  const double s = 1.0 / print_scale;
  return card.px_from_design.MatrixAt(parameters) * cv::Matx33d(s, 0, 0, 0, s, 0, 0, 0, 1);
}

// The plane `height` mm nearer the camera.
cv::Matx33d Raised(const cv::Matx33d& px_from_mm, double focal_px, double height, cv::Size size) {
  const cv::Matx33d k_inverse = CameraInverse(focal_px, size);
  const cv::Matx33d pose = k_inverse * px_from_mm;
  cv::Vec3d a = Column(pose, 0);
  cv::Vec3d b = Column(pose, 1);
  // The pose is known up to a factor; the card must lie before the camera.
  const double sign = pose(2, 2) < 0.0 ? -1.0 : 1.0;
  const double scale = sign * 0.5 * (cv::norm(a) + cv::norm(b));
  a /= scale;
  b /= scale;
  const cv::Vec3d normal = cv::normalize(a.cross(b));
  const cv::Vec3d shifted = Column(pose, 2) / scale - height * normal;
  const cv::Matx33d raised(a[0], b[0], shifted[0], a[1], b[1], shifted[1], a[2], b[2], shifted[2]);
  return k_inverse.inv() * raised;
}

// Along the normal, from the card's plane to the camera, real mm.
double CameraHeight(const cv::Matx33d& px_from_mm, double focal_px, cv::Size size) {
  const cv::Matx33d pose = CameraInverse(focal_px, size) * px_from_mm;
  const cv::Vec3d a = Column(pose, 0);
  const cv::Vec3d b = Column(pose, 1);
  const double scale = 0.5 * (cv::norm(a) + cv::norm(b));
  const cv::Vec3d normal = cv::normalize(a.cross(b));
  return std::abs(normal.dot(Column(pose, 2))) / scale;
}

}  // namespace

double FocalPxFrom35mm(double focal_35mm, cv::Size size) {
  return focal_35mm * std::hypot(size.width, size.height) / kFullFrameDiagonalMm;
}

Focal EstimateFocal(const CardFound& card, std::optional<double> focal_35mm, cv::Size size) {
  const Posterior loose =
      MeetPrior(card, size, std::log(FocalPxFrom35mm(kAssumedFocal35, size)), kAssumedFocalLogSd);
  if (focal_35mm) {
    const double exif_log = std::log(FocalPxFrom35mm(*focal_35mm, size));
    const double gap = (exif_log - loose.log_mean) / std::hypot(loose.log_sd, kExifLogSd);
    // A perspective that says nothing has the assumed prior's spread and cannot contradict.
    const bool perspective_speaks = loose.log_sd < 0.5 * kAssumedFocalLogSd;
    if (perspective_speaks && std::abs(gap) > 3.5) {
      return {std::exp(loose.log_mean), loose.log_sd, true};
    }
    const Posterior tight = MeetPrior(card, size, exif_log, kExifLogSd);
    return {std::exp(tight.log_mean), tight.log_sd, false};
  }
  return {std::exp(loose.log_mean), loose.log_sd, false};
}

Plane FacePlane(const CardFound& card, std::optional<double> thickness_mm, double thickness_sd_mm,
                std::optional<double> focal_35mm, cv::Size size,
                std::vector<report::Caution>* warnings) {
  RIBWRIGHT_CHECK(!thickness_mm || *thickness_mm > 0.0);
  RIBWRIGHT_CHECK(thickness_sd_mm >= 0.0 && size.width > 0 && size.height > 0);
  const auto warn = [&](Code code, std::string message) {
    if (warnings != nullptr) warnings->push_back({code, std::move(message)});
  };
  const bool impossible =
      focal_35mm && !(*focal_35mm >= kShortestFocal35 && *focal_35mm <= kLongestFocal35);
  if (impossible) {
    warn(
        Code::kCameraDistanceUnknown,
        "The focal length in the photo's data is none that a phone or camera has for such a photo; "
        "it was set aside and lengths are less certain.");
    focal_35mm.reset();
  }
  const Focal focal = EstimateFocal(card, focal_35mm, size);
  const cv::Matx33d on_board = RealPxFromMm(card, card.px_from_design.parameters, card.print_scale);
  const double height = CameraHeight(on_board, focal.px, size);
  if (thickness_mm && *thickness_mm > 0.5 * height) {
    warn(Code::kThicknessUnknown,
         "The thickness given is over half of the camera's distance and was set aside.");
    thickness_mm.reset();
  } else if (!thickness_mm) {
    warn(Code::kThicknessUnknown,
         "The height of the face over the card is not known: 25 mm is assumed, give or take 12 mm; "
         "measure the piece and enter its thickness.");
  }
  // Very near the card the assumed height is cut to a quarter of the distance, its doubt with it.
  const double prior = std::min(kThicknessPriorMm, 0.25 * height);
  const double thickness = thickness_mm.value_or(prior);
  const double thickness_sd = thickness_mm ? std::max(kLeastThicknessSdMm, thickness_sd_mm)
                                           : kThicknessPriorSdMm * prior / kThicknessPriorMm;
  if (focal.contradicted) {
    warn(Code::kCameraDistanceUnknown,
         "The focal length in the photo's data does not fit the card's perspective (cropped or "
         "zoomed photo?); the perspective alone was used.");
  } else if (!impossible && focal.log_sd > kDistanceUnknownLogSd) {
    warn(Code::kCameraDistanceUnknown,
         "The photo's data hold no focal length and the card's perspective shows the camera's "
         "distance only roughly; lengths are less certain.");
  }

  Plane plane;
  plane.mm_from_px = Raised(on_board, focal.px, thickness, size).inv();
  plane.source = report::ScaleSource::kCard;

  // ln of the lengths, in the plane as assumed, of four segments that are fixed in the photo.
  const cv::Point2d middle(size.width / 2.0, size.height / 2.0);
  const double half_px = 0.5 * kTestLengthMm * plane.PxPerMm(middle.x, middle.y);
  const auto lengths = [&](const Eigen::VectorXd& x) -> Eigen::VectorXd {
    const cv::Matx33d board = RealPxFromMm(card, x.head<8>(), card.print_scale * std::exp(x[10]));
    const cv::Matx33d mm_from_px =
        Raised(board, focal.px * std::exp(x[8]), thickness + x[9], size).inv();
    Eigen::VectorXd out(4);
    for (int i = 0; i < 4; ++i) {
      const double angle = i * CV_PI / 4.0;
      const cv::Point2d d(half_px * std::cos(angle), half_px * std::sin(angle));
      const cv::Point2d v = Transform(mm_from_px, middle + d) - Transform(mm_from_px, middle - d);
      out[i] = std::log(std::hypot(v.x, v.y));
    }
    return out;
  };
  Eigen::VectorXd at(11);
  at << card.px_from_design.parameters, 0.0, 0.0, 0.0;
  const Eigen::MatrixXd j = NumericJacobian(lengths, at);
  Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(11, 11);
  covariance.topLeftCorner<8, 8>() = card.px_from_design.covariance;
  covariance(8, 8) = focal.log_sd * focal.log_sd;
  covariance(9, 9) = thickness_sd * thickness_sd;
  // A print that is larger than believed also puts the camera further off: its share grows with T /
  // Z.
  covariance(10, 10) = card.print_relative_sd * card.print_relative_sd;
  plane.relative_sd = std::sqrt((j * covariance * j.transpose()).trace() / 4.0);
  RIBWRIGHT_CHECK(std::isfinite(plane.relative_sd));
  plane.basis =
      std::string("card: fit of ") + std::to_string(card.tag_ids.size()) + " markers, " +
      (card.print_relative_sd > kRulerRelativeSd ? "print size assumed" : "ruler measured") +
      (thickness_mm ? ", thickness given" : ", thickness assumed") +
      (focal_35mm && !focal.contradicted ? ", focal length from the photo's data"
                                         : ", focal length from the card's perspective");
  return plane;
}

Plane PlaneFromUser(double px_per_mm) {
  RIBWRIGHT_CHECK(std::isfinite(px_per_mm) && px_per_mm > 0.0);
  Plane plane;
  const double s = 1.0 / px_per_mm;
  plane.mm_from_px = {s, 0, 0, 0, s, 0, 0, 0, 1};
  plane.relative_sd = kUserScaleRelativeSd;
  plane.source = report::ScaleSource::kUser;
  plane.basis = "scale given by the user, 2 % assumed";
  return plane;
}

}  // namespace ribwright::photo
