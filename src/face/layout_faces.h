// SPDX-License-Identifier: Apache-2.0
// Faces and muscles from layout maps: the whole photo's map says where faces are, a second look at
// each face on its own canvas gives its edge, its muscles and its bone.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "face/canvas.h"
#include "face/meat_mask.h"
#include "face/muscles.h"

namespace ribwright::face {

// Where faces lie on a whole photo (CV_8UC3); `ignore` (the card) may be empty. Boxes hold a
// margin, so that a second look sees the ground round the face.
MeatMask FindFaces(const cv::Mat& rgb, const cv::Mat& ignore);

struct LayoutFace {
  cv::Mat mask;  // CV_8U on the canvas: the face, holes filled
  cv::Mat bone;  // CV_8U
  MuscleMap muscles;
};

// `near` CV_8U on the canvas: where this face was seen on the whole photo; `others` where other
// faces were. A mask without a pixel in the answer: nothing was found at the second look.
LayoutFace LookAtFace(const Canvas& canvas, const cv::Mat& near, const cv::Mat& others);

// The same inside a given outline: an edited one is not moved.
LayoutFace LookInside(const Canvas& canvas, const cv::Mat& mask);

// Muscles inside `mask` from a layout map of the canvas.
MuscleMap MusclesOf(const cv::Mat& kind, const cv::Mat& mask);

}  // namespace ribwright::face
