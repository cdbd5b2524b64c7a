// SPDX-License-Identifier: Apache-2.0
#include "programme/edits_file.h"

#include <algorithm>
#include <string>

#include "base/files.h"
#include "report/json_reader.h"

namespace ribwright::programme {
namespace {

using report::Json;
using report::Reader;

constexpr std::size_t kMostBytes = 16'000'000;  // assumed: far more than any outline needs
constexpr double kSlackPx = 1.0;

void ReadFaceEdits(Reader& r, const Json& j, std::size_t index, face::Edits& edits) {
  std::string path = "faces[";
  path.append(std::to_string(index)).append("]");
  if (Reader::Has(j, "outline_px")) {
    edits.outlines.push_back(r.OutlineAt(j, path, "outline_px"));
    if (r.Ok() && edits.outlines.back().empty()) {
      r.Complain(path + ".outline_px", "an outline has at least one ring.");
    }
  }
  if (!Reader::Has(j, "muscles")) return;
  for (const Json& muscle : r.List(j["muscles"], path + ".muscles")) {
    const std::string here = path + ".muscles";
    face::Edits::MusclePolygon polygon;
    polygon.face = static_cast<int>(index);
    const auto name = report::MuscleFromText(r.TextAt(muscle, here, "name"));
    if (!name) r.Complain(here, "this is no name of a muscle.");
    polygon.name = name.value_or(report::MuscleName::kOther);
    polygon.outline = r.OutlineAt(muscle, here, "outline_px");
    if (r.Ok() && polygon.outline.empty()) r.Complain(here, "an outline has at least one ring.");
    edits.muscles.push_back(std::move(polygon));
  }
}

bool Inside(const report::Outline& outline, cv::Size photo) {
  return std::all_of(outline.begin(), outline.end(), [&](const report::Ring& ring) {
    return std::all_of(ring.begin(), ring.end(), [&](const report::Point& p) {
      return p.x >= -kSlackPx && p.y >= -kSlackPx && p.x <= photo.width + kSlackPx &&
             p.y <= photo.height + kSlackPx;
    });
  });
}

}  // namespace

Result<face::Edits> ParseEdits(std::string_view text) {
  Reader r(Code::kEditsUnusable, "These edited outlines cannot be used",
           "See docs/format/edits.md for the shape of the file.");
  const Json j = r.Parse(text);
  face::Edits edits;
  const Json& faces = r.List(r.At(j, "", "faces"), "faces");
  for (std::size_t i = 0; i < faces.size() && r.Ok(); ++i) ReadFaceEdits(r, faces[i], i, edits);
  if (r.Ok() && faces.empty()) r.Complain("faces", "there is nothing to edit.");
  if (r.Ok() && !edits.outlines.empty() && edits.outlines.size() != faces.size()) {
    r.Complain("faces", "give outline_px for every face or for none.");
  }
  if (r.Ok() && edits.outlines.empty() && edits.muscles.empty()) {
    r.Complain("faces", "there is nothing to edit.");
  }
  if (!r.Ok()) return Fail(r.error());
  return edits;
}

Result<face::Edits> ReadEdits(const std::filesystem::path& path) {
  const auto bytes = ReadFileLimited(path, kMostBytes);
  if (!bytes) {
    Error error = bytes.error();
    error.code = Code::kEditsUnusable;
    return Fail(error);
  }
  auto edits = ParseEdits({reinterpret_cast<const char*>(bytes->data()), bytes->size()});
  if (edits) return edits;
  Error error = edits.error();
  error.where = path.string() + ": " + error.where;
  return Fail(error);
}

Status CheckEditsInPhoto(const face::Edits& edits, cv::Size photo) {
  const auto outside = [](std::string where) {
    return Fail(Code::kEditsUnusable, "An edited outline leaves the photo.", std::move(where),
                "Use pixels of the upright photo, the first one's centre at 0.5, 0.5.");
  };
  for (std::size_t i = 0; i < edits.outlines.size(); ++i) {
    if (!Inside(edits.outlines[i], photo)) {
      return outside(std::string("faces[").append(std::to_string(i)).append("].outline_px"));
    }
  }
  for (const auto& muscle : edits.muscles) {
    if (Inside(muscle.outline, photo)) continue;
    return outside(std::string("faces[")
                       .append(std::to_string(muscle.face))
                       .append("].muscles, ")
                       .append(report::MuscleText(muscle.name)));
  }
  return {};
}

}  // namespace ribwright::programme
