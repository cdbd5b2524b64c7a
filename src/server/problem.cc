// SPDX-License-Identifier: Apache-2.0
#include "server/problem.h"

#include <algorithm>

namespace ribwright::server {

int StatusOf(Code code) {
  switch (code) {
    case Code::kRequestInvalid:
    case Code::kBadOption:
    case Code::kUploadBroken:
      return 400;
    case Code::kNotSignedIn:
    case Code::kSignInFailed:
      return 401;
    case Code::kNotAllowed:
    case Code::kCsrfMissing:
    case Code::kForeignOrigin:
    case Code::kSetupClosed:
      return 403;
    case Code::kNotFound:
    case Code::kPieceUnknown:
    case Code::kEntryUnknown:
    case Code::kPhotoNotKept:
      return 404;
    case Code::kMethodNotAllowed:
      return 405;
    case Code::kNameTaken:
    case Code::kLastOwner:
    case Code::kPieceGone:
    case Code::kPieceCodeTaken:
      return 409;
    case Code::kChangedMeanwhile:
      return 412;
    case Code::kFileTooLarge:
    case Code::kRequestTooLarge:
      return 413;
    case Code::kTypeUnsupported:
      return 415;
    case Code::kForeignHost:
      return 421;
    case Code::kPreconditionMissing:
      return 428;
    case Code::kTooManyTries:
      return 429;
    case Code::kInternal:
    case Code::kJudgeCrashed:
    case Code::kDataUnusable:
    case Code::kOutputUnwritable:
    case Code::kStoreUnusable:
    case Code::kStoreDamaged:
      return 500;
    case Code::kJudgeBusy:
    case Code::kStoreBusy:
    case Code::kStopping:
      return 503;
    case Code::kJudgeTimedOut:
      return 504;
    case Code::kStoreFull:
      return 507;
    default:
      return 422;
  }
}

std::string OutwardWhere(const Error& error) {
  const bool inside = StatusOf(error.code) >= 500 || error.code == Code::kFileUnreadable ||
                      error.code == Code::kStoreMismatch;
  if (inside && !error.where.empty()) return "data folder";
  return error.where;
}

Json ProblemOf(const Error& error, const std::string& path) {
  const std::string code(CodeText(error.code));
  const auto entry = std::find_if(CodeTable().begin(), CodeTable().end(),
                                  [&](const CodeEntry& e) { return e.code == error.code; });
  Json problem;
  problem["type"] = "/problems/" + code;
  problem["title"] = std::string(entry->meaning);
  problem["status"] = StatusOf(error.code);
  problem["detail"] = error.message;
  problem["instance"] = path;
  problem["code"] = code;
  problem["where"] = OutwardWhere(error);
  problem["mend"] = error.mend;
  return problem;
}

}  // namespace ribwright::server
