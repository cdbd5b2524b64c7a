// SPDX-License-Identifier: Apache-2.0
// The judge's child process: reads one task and one photo from standard input, answers on standard
// output (server/judge_frames.h), ends.
//
// It confines itself (server/sandbox.h) before it looks at a byte. Exit 0 when it answered, also
// where the answer is an error; anything else means it broke.
#pragma once

namespace ribwright::server {

int RunJudgeWorker();

}  // namespace ribwright::server
