// SPDX-License-Identifier: Apache-2.0
// Reader: typed access to a parsed JSON tree from outside, with the place of the first complaint.
//
// Every accessor checks the type, keeps the first complaint (code, path) and returns a harmless
// value so that a reading function needs one test at its end. For the report layer's and the use
// cases' own JSON files.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>

#include "base/result.h"
#include "report/json_writer.h"
#include "report/photo_report.h"

namespace ribwright::report {

// Walks the JSON and keeps the first complaint; after one, what it returns has no meaning.
class Reader {
 public:
  // `what` opens the message ("This is not the JSON of a judged face"), `mend` closes it.
  Reader(Code code, std::string what, std::string mend)
      : code_(code), what_(std::move(what)), mend_(std::move(mend)) {}

  // The tree; a null and a complaint when the text is not whole JSON.
  Json Parse(std::string_view text) {
    try {
      return Json::parse(text);
    } catch (const Json::exception& e) {
      const auto* parse = dynamic_cast<const Json::parse_error*>(&e);
      Complain(parse ? "byte " + std::to_string(parse->byte) : "", "the text is not whole JSON.");
      return nullptr;
    }
  }

  bool Ok() const { return !error_; }
  const Error& error() const { return *error_; }

  void Complain(const std::string& path, const std::string& what) {
    if (error_) return;
    error_ = Error{code_, what_ + ": " + what, path.empty() ? "top of the JSON" : path, mend_};
  }

  // A null when the key is missing (complained about if needed) or the parent is no object.
  const Json& At(const Json& parent, const std::string& path, const char* key, bool needed = true) {
    static const Json kNull;
    if (!parent.is_object()) {
      Complain(path, "an object is expected.");
      return kNull;
    }
    const auto found = parent.find(key);
    if (found != parent.end()) return *found;
    if (needed) Complain(Join(path, key), "the key is missing.");
    return kNull;
  }
  static bool Has(const Json& parent, const char* key) {
    return parent.is_object() && parent.contains(key);
  }
  static std::string Join(const std::string& path, std::string_view key) {
    return path.empty() ? std::string(key) : path + "." + std::string(key);
  }

  double Number(const Json& j, const std::string& path) {
    if (!j.is_number() || !std::isfinite(j.get<double>())) {
      Complain(path, "a finite number is expected.");
      return 0.0;
    }
    return j.get<double>();
  }
  double Between(const Json& j, const std::string& path, double low, double high) {
    const double x = Number(j, path);
    if (Ok() && (x < low || x > high)) Complain(path, "the number is outside its range.");
    return x;
  }
  std::string Text(const Json& j, const std::string& path) {
    if (j.is_string()) return j.get<std::string>();
    Complain(path, "a text is expected.");
    return {};
  }
  bool Flag(const Json& j, const std::string& path) {
    if (j.is_boolean()) return j.get<bool>();
    Complain(path, "true or false is expected.");
    return false;
  }
  const Json& List(const Json& j, const std::string& path) {
    static const Json kEmpty = Json::array();
    if (j.is_array()) return j;
    Complain(path, "a list is expected.");
    return kEmpty;
  }
  const Json& Map(const Json& j, const std::string& path) {
    static const Json kEmpty = Json::object();
    if (j.is_object()) return j;
    Complain(path, "an object is expected.");
    return kEmpty;
  }

  std::string TextAt(const Json& parent, const std::string& path, const char* key) {
    return Text(At(parent, path, key), Join(path, key));
  }
  double NumberAt(const Json& parent, const std::string& path, const char* key) {
    return Number(At(parent, path, key), Join(path, key));
  }
  Outline OutlineAt(const Json& parent, const std::string& path, const char* key) {
    const std::string here = Join(path, key);
    Outline outline;
    for (const Json& ring : List(At(parent, path, key), here)) {
      Ring points;
      for (const Json& p : List(ring, here)) {
        if (!p.is_array() || p.size() != 2) {
          Complain(here, "a point is a list of two numbers.");
          return {};
        }
        points.push_back({Number(p[0], here), Number(p[1], here)});
      }
      if (points.size() < 3) Complain(here, "a ring has at least three points.");
      outline.push_back(std::move(points));
    }
    return outline;
  }

 private:
  Code code_;
  std::string what_;
  std::string mend_;
  std::optional<Error> error_;
};

}  // namespace ribwright::report
