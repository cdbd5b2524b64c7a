// SPDX-License-Identifier: Apache-2.0
#include "ledger/port.h"

namespace ribwright::ledger {

Result<Receipt> Writer::Append(Draft draft) {
  std::vector<Draft> drafts;
  drafts.push_back(std::move(draft));
  auto results = Append(std::move(drafts), Together::kEachAlone);
  return std::move(results.front());
}

}  // namespace ribwright::ledger
