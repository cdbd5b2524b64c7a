// SPDX-License-Identifier: Apache-2.0
#include "server/sandbox.h"

#include <fcntl.h>
#include <linux/landlock.h>
#include <sched.h>
#include <seccomp.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <memory>

namespace ribwright::server {
namespace {

bool SetLimit(int resource, rlim_t value) {
  const rlimit limit{value, value};
  return ::setrlimit(static_cast<__rlimit_resource>(resource), &limit) == 0;
}

bool SetLimits(const ConfineOptions& options) {
  return SetLimit(RLIMIT_FSIZE, 0) && SetLimit(RLIMIT_CORE, 0) && SetLimit(RLIMIT_NOFILE, 64) &&
         SetLimit(RLIMIT_CPU, options.cpu_seconds) &&
         (options.address_space_bytes == 0 || SetLimit(RLIMIT_AS, options.address_space_bytes));
}

// Rights of the first landlock version: every kind of write, and reading outside the list.
constexpr std::uint64_t kReadRights =
    LANDLOCK_ACCESS_FS_EXECUTE | LANDLOCK_ACCESS_FS_READ_FILE | LANDLOCK_ACCESS_FS_READ_DIR;
constexpr std::uint64_t kAllRights =
    kReadRights | LANDLOCK_ACCESS_FS_WRITE_FILE | LANDLOCK_ACCESS_FS_REMOVE_DIR |
    LANDLOCK_ACCESS_FS_REMOVE_FILE | LANDLOCK_ACCESS_FS_MAKE_CHAR | LANDLOCK_ACCESS_FS_MAKE_DIR |
    LANDLOCK_ACCESS_FS_MAKE_REG | LANDLOCK_ACCESS_FS_MAKE_SOCK | LANDLOCK_ACCESS_FS_MAKE_FIFO |
    LANDLOCK_ACCESS_FS_MAKE_BLOCK | LANDLOCK_ACCESS_FS_MAKE_SYM;

bool AllowReading(int ruleset, const char* path, std::uint64_t rights) {
  const int folder = ::open(path, O_PATH | O_CLOEXEC);
  if (folder < 0) return errno == ENOENT;  // what is not there needs no rule
  landlock_path_beneath_attr rule{};
  rule.allowed_access = rights;
  rule.parent_fd = folder;
  const bool done =
      ::syscall(SYS_landlock_add_rule, ruleset, LANDLOCK_RULE_PATH_BENEATH, &rule, 0) == 0;
  ::close(folder);
  return done;
}

bool ApplyLandlock(const ConfineOptions& options) {
  landlock_ruleset_attr attributes{};
  attributes.handled_access_fs = kAllRights;
  const int ruleset =
      static_cast<int>(::syscall(SYS_landlock_create_ruleset, &attributes, sizeof(attributes), 0));
  if (ruleset < 0) return false;
  bool done = true;
  for (const char* folder : {"/usr", "/lib", "/lib64", "/bin", "/etc/fonts", "/etc/ld.so.cache",
                             "/etc/alternatives", "/sys/devices/system/cpu", "/proc/self"}) {
    const bool file = std::string_view(folder).ends_with(".cache");
    done = AllowReading(ruleset, folder, file ? LANDLOCK_ACCESS_FS_READ_FILE : kReadRights) && done;
  }
  done = AllowReading(ruleset, options.program_folder.c_str(), kReadRights) && done;
  // The helper program's standard error goes to /dev/null.
  done = AllowReading(ruleset, "/dev/null",
                      LANDLOCK_ACCESS_FS_READ_FILE | LANDLOCK_ACCESS_FS_WRITE_FILE) &&
         done;
  done = AllowReading(ruleset, "/dev/urandom", LANDLOCK_ACCESS_FS_READ_FILE) && done;
  done = done && ::syscall(SYS_landlock_restrict_self, ruleset, 0) == 0;
  ::close(ruleset);
  return done;
}

constexpr std::array kForbidden = {
    // Network.
    SCMP_SYS(socket), SCMP_SYS(connect), SCMP_SYS(bind), SCMP_SYS(listen), SCMP_SYS(accept),
    SCMP_SYS(accept4), SCMP_SYS(sendto), SCMP_SYS(sendmmsg),
    // Names and contents of files.
    SCMP_SYS(creat), SCMP_SYS(truncate), SCMP_SYS(unlink), SCMP_SYS(unlinkat), SCMP_SYS(rename),
    SCMP_SYS(renameat), SCMP_SYS(renameat2), SCMP_SYS(mkdir), SCMP_SYS(mkdirat), SCMP_SYS(rmdir),
    SCMP_SYS(link), SCMP_SYS(linkat), SCMP_SYS(symlink), SCMP_SYS(symlinkat), SCMP_SYS(mknod),
    SCMP_SYS(mknodat), SCMP_SYS(chmod), SCMP_SYS(fchmod), SCMP_SYS(fchmodat), SCMP_SYS(chown),
    SCMP_SYS(fchown), SCMP_SYS(lchown), SCMP_SYS(fchownat), SCMP_SYS(setxattr), SCMP_SYS(lsetxattr),
    SCMP_SYS(fsetxattr), SCMP_SYS(removexattr), SCMP_SYS(lremovexattr), SCMP_SYS(fremovexattr),
    SCMP_SYS(utimensat), SCMP_SYS(utimes), SCMP_SYS(futimesat), SCMP_SYS(openat2),
    SCMP_SYS(open_by_handle_at), SCMP_SYS(memfd_create), SCMP_SYS(fallocate),
    // Other processes, the system, other ways to the above.
    SCMP_SYS(ptrace), SCMP_SYS(process_vm_readv), SCMP_SYS(process_vm_writev),
    SCMP_SYS(pidfd_getfd), SCMP_SYS(mount), SCMP_SYS(umount2), SCMP_SYS(pivot_root),
    SCMP_SYS(chroot), SCMP_SYS(unshare), SCMP_SYS(setns), SCMP_SYS(bpf), SCMP_SYS(perf_event_open),
    SCMP_SYS(io_uring_setup), SCMP_SYS(io_uring_enter), SCMP_SYS(io_uring_register),
    SCMP_SYS(userfaultfd), SCMP_SYS(keyctl), SCMP_SYS(add_key), SCMP_SYS(request_key),
    SCMP_SYS(kexec_load), SCMP_SYS(init_module), SCMP_SYS(finit_module), SCMP_SYS(reboot),
    SCMP_SYS(swapon), SCMP_SYS(acct), SCMP_SYS(quotactl), SCMP_SYS(setrlimit)};

bool ForbidWriting(scmp_filter_ctx filter, int call, unsigned flags_at) {
  // O_RDONLY is 0: any of these bits means writing or making.
  bool done = true;
  for (const int bit : {O_WRONLY, O_RDWR, O_CREAT, O_TRUNC, __O_TMPFILE & ~O_DIRECTORY}) {
    const auto flag = static_cast<scmp_datum_t>(bit);
    const scmp_arg_cmp set = SCMP_CMP(flags_at, SCMP_CMP_MASKED_EQ, flag, flag);
    done = seccomp_rule_add_array(filter, SCMP_ACT_ERRNO(EPERM), call, 1, &set) == 0 && done;
  }
  return done;
}

bool ApplySeccomp() {
  struct Release {
    void operator()(void* filter) const { seccomp_release(filter); }
  };
  const std::unique_ptr<void, Release> owner(seccomp_init(SCMP_ACT_ALLOW));
  if (!owner) return false;
  scmp_filter_ctx filter = owner.get();
  bool done = true;
  for (const int call : kForbidden) {
    // Calls that this machine does not have are passed over by the library.
    const int added = seccomp_rule_add_array(filter, SCMP_ACT_ERRNO(EPERM), call, 0, nullptr);
    done = (added == 0 || added == -EDOM) && done;
  }
  done = ForbidWriting(filter, SCMP_SYS(open), 1) && done;
  done = ForbidWriting(filter, SCMP_SYS(openat), 2) && done;
  return done && seccomp_load(filter) == 0;
}

}  // namespace

std::vector<std::string> Confinement::Words() const {
  std::vector<std::string> words = {"limits"};
  if (landlock) words.emplace_back("landlock");
  if (seccomp) words.emplace_back("seccomp");
  return words;
}

Confinement ConfinementHere() {
  const auto version = ::syscall(SYS_landlock_create_ruleset, nullptr, std::size_t{0},
                                 LANDLOCK_CREATE_RULESET_VERSION);
  return {.landlock = version >= 1, .seccomp = true};
}

Result<Confinement> Confine(const ConfineOptions& options) {
  Confinement confinement;
  if (!SetLimits(options) || ::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0) {
    return Fail(Code::kInternal, "The process that reads photos could not be limited.", "", "");
  }
  confinement.landlock = ApplyLandlock(options);
  confinement.seccomp = ApplySeccomp();
  if (!confinement.seccomp) {
    return Fail(Code::kInternal, "The process that reads photos could not be confined.", "seccomp",
                "Use a kernel with seccomp filters (CONFIG_SECCOMP_FILTER).");
  }
  return confinement;
}

}  // namespace ribwright::server
