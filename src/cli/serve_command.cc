// SPDX-License-Identifier: Apache-2.0
#include "cli/serve_command.h"

#include <pthread.h>
#include <signal.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <string>
#include <system_error>
#include <thread>

#include "cli/house_data.h"
#include "cli/program.h"
#include "server/addresses.h"
#include "server/judge_worker.h"
#include "server/serve.h"

namespace ribwright::cli {
namespace {

void Say(const std::string& text) {
  std::fwrite(text.data(), 1, text.size(), stdout);
  std::fflush(stdout);
}

void SayWhereItIs(const server::ServeStarted& started) {
  Say("Ribwright serves at " + started.url + "\n");
  for (const std::string& url : started.urls) Say("  in the house:  " + url + "\n");
  if (!started.setup_url.empty()) {
    Say("First start. Make the owner's account with this link, good for one use:\n  " +
        started.setup_url + "\n");
  }
  if (!started.install_url.empty()) {
    Say("Phones, once each: " + started.install_url + "\n" +
        server::TerminalCode(started.install_url) + "Fingerprint of the house certificate:\n  " +
        started.fingerprint + "\n");
  }
  if (!started.front_built) Say("(Built without the web front: the API alone is served.)\n");
  Say("Stop with Ctrl-C.\n");
}

int RunServe(server::ServeOptions options) {
  GuardHouse(options.data.string());
  std::error_code failed;
  options.judge.program = std::filesystem::read_symlink("/proc/self/exe", failed);
  options.log = [](const std::string& text) { std::fprintf(stderr, "%s\n", text.c_str()); };
  // Every thread leaves these to the one that waits for them.
  sigset_t stops;
  sigemptyset(&stops);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&stops, signal);
  pthread_sigmask(SIG_BLOCK, &stops, nullptr);
  ::signal(SIGPIPE, SIG_IGN);

  auto serving = server::Serving::Open(options);
  if (!serving) {
    PrintError(serving.error());
    return ExitOf(serving.error());
  }
  SayWhereItIs((*serving)->started());
  std::thread waiter([&] {
    int signal = 0;
    sigwait(&stops, &signal);
    (*serving)->Stop();
  });
  (*serving)->Run();
  ::pthread_kill(waiter.native_handle(), SIGTERM);  // where it was not a signal that ended it
  waiter.join();
  return kExitDone;
}

}  // namespace

void AddServeCommand(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<server::ServeOptions>();
  options->data = "ribwright-data";
  CLI::App* command = app.add_subcommand("serve", "Serve the program to browsers and phones");
  command->add_option("--data", options->data, "Folder of the house's data; made if missing")
      ->type_name("DIR")
      ->capture_default_str();
  command
      ->add_option("--listen", options->address,
                   "Address to listen on; beyond this machine with TLS (0.0.0.0: all)")
      ->type_name("ADDRESS")
      ->capture_default_str();
  command->add_option("--port", options->port, "Port; 0: any free one")
      ->check(CLI::Range(0, 65535))
      ->capture_default_str();
  command
      ->add_option("--install-port", options->install_port,
                   "Port of the page for phones; by default the next one")
      ->check(CLI::Range(0, 65535));
  command->add_flag("--tls", options->tls, "TLS on this machine too");
  command->add_option("--name", options->names, "A name by which clients call this machine")
      ->type_name("NAME");
  command->add_option("--workers", options->workers, "Photos judged at a time; 0: half the cores")
      ->check(CLI::Range(0, 64))
      ->capture_default_str();
  command->callback([&exit_code, options] { exit_code = RunServe(*options); });
}

void AddJudgeWorkerCommand(CLI::App& app, int& exit_code) {
  CLI::App* command = app.add_subcommand("judge-worker", "");
  command->group("");  // not shown
  command->callback([&exit_code] { exit_code = server::RunJudgeWorker(); });
}

}  // namespace ribwright::cli
