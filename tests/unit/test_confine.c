/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is left to a run after ll_confine, and what is not. Attempts are made in children: the first one that goes
 * otherwise is named on standard error. */
#define _GNU_SOURCE /* clone, syscall */
#include <errno.h>
#include <fcntl.h>
#include <iconv.h>
#include <pthread.h>
#include <sched.h>
#include <setjmp.h>
#include <signal.h>
#include <spawn.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#include "cli/confine.h"

enum { NOT_HERE = 77 }; /* exit status of a test that cannot be made on this machine */

/* In a child: ends it where the condition does not hold, or the call does anything but fail for the reason. */
#define MUST_HOLD(condition)                                                                                           \
    do {                                                                                                               \
        if (!(condition))                                                                                              \
            fail_at(__LINE__, #condition);                                                                             \
    } while (0)
#define MUST_FAIL(call, reason)                                                                                        \
    do {                                                                                                               \
        errno = 0;                                                                                                     \
        MUST_HOLD((call) < 0);                                                                                         \
        MUST_HOLD(errno == (reason));                                                                                  \
    } while (0)

static char folder[] = "/tmp/leadline-confine-XXXXXX";

static void fail_at(int line, const char *what)
{
    fprintf(stderr, "line %d: %s; the last reason: %s\n", line, what, strerror(errno));
    _exit(1);
}

/* `work` comes to its end, in a process of its own. */
static void assert_in_child(void (*work)(void))
{
    int status;
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        work();
        _exit(0);
    }
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_int_equal(status, 0);
}

static void put(const char *path, const char *text)
{
    int file = open(path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
    assert_true(file >= 0);
    assert_int_equal(write(file, text, strlen(text)), strlen(text));
    close(file);
}

/* Inputs in "in", the output in "out", and more. */
static int make(void **state)
{
    (void)state;
    if (!mkdtemp(folder) || chdir(folder) != 0)
        return 1;
    if (mkdir("in", 0700) != 0 || mkdir("out", 0700) != 0 || mkdir("elsewhere", 0700) != 0)
        return 1;
    put("in/log", "log");
    put("in/plan", "plan");
    put("in/standard", "standard");
    put("in/other", "other");
    put("-", "no standard input");
    put("out/old", "old");
    return symlink("log", "in/link") != 0 || symlink("../out/old", "elsewhere/link") != 0 ||
           mkfifo("in/pipe", 0600) != 0;
}

static int clear(void **state)
{
    (void)state;
    char command[64];
    snprintf(command, sizeof command, "rm -r %s", folder);
    return system(command);
}

static const char *logs[] = {"in/link", "/dev/null", "in/pipe", "in/missing", "elsewhere", "-"};
static ll_options asked = {.logs = logs, .log_count = sizeof logs / sizeof *logs, .standard_path = "in/standard",
                           .plan_path = "in/plan", .output = "out/new"};

static void confine_files(void)
{
    MUST_HOLD(ll_confine_privileges());
    MUST_HOLD(ll_confine_files(&asked));
}

static void confine_calls(void)
{
    MUST_HOLD(ll_confine_privileges());
    MUST_HOLD(ll_confine_calls());
}

/* --- files by name ----------------------------------------------------------------------------------------------- */

static bool reads(const char *path, const char *expected)
{
    char bytes[16];
    int file = open(path, O_RDONLY | O_CLOEXEC);
    ssize_t size = file < 0 ? -1 : read(file, bytes, sizeof bytes);
    close(file);
    return size == (ssize_t)strlen(expected) && memcmp(bytes, expected, (size_t)size) == 0;
}

static void read_inputs(void)
{
    confine_files();
    MUST_HOLD(reads("in/log", "log"));
    MUST_HOLD(reads("in/link", "log"));
    MUST_HOLD(reads("in/plan", "plan"));
    MUST_HOLD(reads("in/standard", "standard"));
    MUST_HOLD(reads("/dev/null", ""));
    MUST_HOLD(open("in/pipe", O_RDONLY | O_NONBLOCK) >= 0);
    MUST_HOLD(open("elsewhere", O_RDONLY) >= 0);
    MUST_FAIL(open("in/missing", O_RDONLY), ENOENT);
}

static void read_elsewhere(void)
{
    MUST_HOLD(reads("in/other", "other"));
    int passwords = open("/etc/passwd", O_RDONLY);
    MUST_HOLD(passwords >= 0);
    confine_files();
    MUST_FAIL(open("/etc/passwd", O_RDONLY), EACCES);
    MUST_FAIL(open("in/other", O_RDONLY), EACCES);
    MUST_FAIL(open("-", O_RDONLY), EACCES);
    MUST_FAIL(open("out/old", O_RDONLY), EACCES);
    MUST_FAIL(open("in", O_RDONLY | O_DIRECTORY), EACCES);
    MUST_FAIL(open("/proc/self/environ", O_RDONLY), EACCES);
}

static void write_output(void)
{
    confine_files();
    int file = open("out/.pending", O_WRONLY | O_CREAT | O_EXCL, 0600);
    MUST_HOLD(file >= 0);
    MUST_HOLD(write(file, "new", 3) == 3);
    MUST_HOLD(fchmod(file, 0644) == 0);
    MUST_HOLD(fsync(file) == 0);
    MUST_HOLD(rename("out/.pending", "out/new") == 0);
    file = open("out/.pending", O_WRONLY | O_CREAT | O_EXCL, 0600);
    MUST_HOLD(file >= 0);
    MUST_HOLD(rename("out/.pending", "out/old") == 0); /* over what was there */
    file = open("out/.pending", O_WRONLY | O_CREAT | O_EXCL, 0600);
    MUST_HOLD(file >= 0);
    MUST_HOLD(unlink("out/.pending") == 0);
}

static void write_elsewhere(void)
{
    confine_files();
    MUST_FAIL(open("in/log", O_WRONLY), EACCES);
    MUST_FAIL(open("in/log", O_RDWR), EACCES);
    MUST_FAIL(open("elsewhere/new", O_WRONLY | O_CREAT, 0600), EACCES);
    MUST_FAIL(open("new", O_WRONLY | O_CREAT, 0600), EACCES);
    MUST_FAIL(open("/dev/null", O_WRONLY), EACCES);
    MUST_FAIL(unlink("in/log"), EACCES);
    MUST_FAIL(mkdir("out/folder", 0700), EACCES);
    MUST_FAIL(symlink("x", "out/link"), EACCES);
    MUST_FAIL(mkfifo("out/pipe", 0700), EACCES);
    MUST_HOLD(rename("in/log", "out/log") < 0 && rename("out/old", "elsewhere/old") < 0);
    MUST_HOLD(link("in/log", "out/log") < 0);
}

/* The folder behind the link is written in, not that of the link. */
static void write_behind_a_link(void)
{
    asked.output = "elsewhere/link";
    confine_files();
    MUST_HOLD(open("out/.pending", O_WRONLY | O_CREAT, 0600) >= 0);
    MUST_HOLD(unlink("out/.pending") == 0);
    MUST_FAIL(open("elsewhere/.pending", O_WRONLY | O_CREAT, 0600), EACCES);
}

static void write_here(void)
{
    asked.output = "new";
    confine_files();
    MUST_HOLD(open("new", O_WRONLY | O_CREAT, 0600) >= 0);
    MUST_FAIL(open("../leadline-elsewhere", O_WRONLY | O_CREAT, 0600), EACCES);
}

static void write_to_a_device(void)
{
    asked.output = "/dev/full";
    confine_files();
    MUST_HOLD(open("/dev/full", O_WRONLY) >= 0);
    MUST_FAIL(open("/dev/zero", O_WRONLY), EACCES);
    MUST_FAIL(open("/dev/leadline", O_WRONLY | O_CREAT, 0600), EACCES);
}

static void write_nowhere(const char *output)
{
    asked.output = output;
    confine_files();
    MUST_FAIL(open("out/new", O_WRONLY | O_CREAT, 0600), EACCES);
    MUST_FAIL(open("new", O_WRONLY | O_CREAT, 0600), EACCES);
    MUST_FAIL(open("-", O_WRONLY | O_CREAT, 0600), EACCES);
}

static void write_to_standard_output(void)
{
    write_nowhere(NULL);
}

static void write_to_a_dash(void)
{
    write_nowhere("-");
}

/* 0xB1 as a character of each set, in UTF-8; from the tables of Unicode (8859-2.TXT, KOI8-R.TXT, SHIFTJIS.TXT). */
static void read_character_sets(void)
{
    static const struct {
        const char *name, *expected;
    } sets[] = {{"ISO-8859-2", "\xC4\x85"}, {"KOI8-R", "\xE2\x95\xA0"}, {"SHIFT_JIS", "\xEF\xBD\xB1"}};
    confine_files();
    for (size_t i = 0; i < sizeof sets / sizeof *sets; i++) {
        char from[] = "\xB1", to[8] = "", *in = from, *out = to;
        size_t in_left = 1, out_left = sizeof to - 1;
        iconv_t conversion = iconv_open("UTF-8", sets[i].name);
        MUST_HOLD(conversion != (iconv_t)-1);
        MUST_HOLD(iconv(conversion, &in, &in_left, &out, &out_left) == 0);
        MUST_HOLD(strcmp(to, sets[i].expected) == 0);
        iconv_close(conversion);
    }
}

/* --- system calls ------------------------------------------------------------------------------------------------ */

static void reach_the_network(void)
{
    int both[2];
    int before = socket(AF_INET, SOCK_STREAM, 0);
    MUST_HOLD(before >= 0);
    confine_calls();
    const struct sockaddr nowhere = {.sa_family = AF_UNIX};
    MUST_FAIL(socket(AF_INET, SOCK_STREAM, 0), EPERM);
    MUST_FAIL(socket(AF_INET6, SOCK_DGRAM, 0), EPERM);
    MUST_FAIL(socket(AF_UNIX, SOCK_STREAM, 0), EPERM);
    MUST_FAIL(socketpair(AF_UNIX, SOCK_STREAM, 0, both), EPERM);
    MUST_FAIL(connect(before, &nowhere, sizeof nowhere), EPERM);
    MUST_FAIL(bind(before, &nowhere, sizeof nowhere), EPERM);
    MUST_FAIL(listen(before, 1), EPERM);
    MUST_FAIL(sendto(before, "x", 1, 0, &nowhere, sizeof nowhere), EPERM);
    MUST_FAIL(syscall(SYS_io_uring_setup, 1, NULL), EPERM);
}

static void start_programs(void)
{
    char name[] = "/bin/false"; /* ends the child with 1, should it start */
    char *arguments[] = {name, NULL};
    pid_t child;
    confine_calls();
    MUST_FAIL(execv(name, arguments), EPERM);
    MUST_FAIL(syscall(SYS_execveat, AT_FDCWD, name, arguments, NULL, 0), EPERM);
    MUST_FAIL(fork(), EPERM);
#ifdef SYS_fork
    MUST_FAIL(syscall(SYS_fork), EPERM);
#endif
    MUST_FAIL(syscall(SYS_clone, CLONE_VM | CLONE_VFORK | SIGCHLD, NULL, NULL, NULL, NULL), EPERM);
    MUST_FAIL(syscall(SYS_clone3, NULL, 0), ENOSYS);
    MUST_HOLD(posix_spawn(&child, name, NULL, NULL, arguments, NULL) == EPERM);
}

static void touch_processes(void)
{
    pid_t parent = getppid();
    confine_calls();
    MUST_FAIL(syscall(SYS_ptrace, 0, 0, NULL, NULL), EPERM);
    MUST_FAIL(kill(parent, 0), EPERM);
    MUST_FAIL(syscall(SYS_tkill, parent, 0), EPERM);
    MUST_FAIL(syscall(SYS_tgkill, parent, parent, 0), EPERM);
    MUST_HOLD(syscall(SYS_tgkill, getpid(), getpid(), 0) == 0);
    MUST_FAIL(ioctl(STDIN_FILENO, TIOCSTI, "x"), EPERM);
}

static void change_attributes(void)
{
    confine_calls();
    MUST_FAIL(chmod("in/other", 0644), EPERM);
    MUST_FAIL(chown("in/other", getuid(), getgid()), EPERM);
    MUST_FAIL(utimensat(AT_FDCWD, "in/other", NULL, 0), EPERM);
    MUST_FAIL(truncate("in/other", 0), EPERM);
    MUST_FAIL(chroot("in"), EPERM);
    MUST_FAIL(unshare(CLONE_NEWUSER), EPERM);
    MUST_FAIL(syscall(452, AT_FDCWD, "in/other", 0644, 0), ENOSYS); /* fchmodat2, Linux 6.6 */
}

static void *mark(void *context)
{
    *(bool *)context = true;
    return NULL;
}

static void start_threads(void)
{
    enum { THREADS = 20 };
    pthread_t thread[THREADS];
    bool marked[THREADS] = {false};
    confine_calls();
    for (int i = 0; i < THREADS; i++)
        MUST_HOLD(pthread_create(&thread[i], NULL, mark, &marked[i]) == 0);
    for (int i = 0; i < THREADS; i++)
        MUST_HOLD(pthread_join(thread[i], NULL) == 0 && marked[i]);
}

static volatile sig_atomic_t seen;

static void see(int number)
{
    seen = number;
}

static void raise_a_signal(void)
{
    signal(SIGTERM, see);
    confine_calls();
    MUST_HOLD(raise(SIGTERM) == 0);
    MUST_HOLD(seen == SIGTERM);
}

/* --- both -------------------------------------------------------------------------------------------------------- */

static void hold_in_threads_too(void)
{
    ll_confine(&asked);
    MUST_HOLD(prctl(PR_GET_NO_NEW_PRIVS, 0, 0, 0, 0) == 1);
    MUST_HOLD(prctl(PR_GET_SECCOMP, 0, 0, 0, 0) == 2);
    MUST_FAIL(open("/etc/passwd", O_RDONLY), EACCES);
    MUST_FAIL(socket(AF_INET, SOCK_STREAM, 0), EPERM);
    start_threads();
    read_character_sets();
}

/* Nepal is 5:45 ahead, all year (tz database, Asia/Kathmandu). */
static void know_the_time_zone(void)
{
    time_t noon = 1700000000;
    struct tm here, there;
    if (access("/usr/share/zoneinfo/Asia/Kathmandu", R_OK) != 0)
        return;
    setenv("TZ", "Asia/Kathmandu", 1);
    ll_confine(&asked);
    MUST_HOLD(gmtime_r(&noon, &there) && localtime_r(&noon, &here));
    MUST_HOLD((here.tm_hour * 60 + here.tm_min + 1440 - there.tm_hour * 60 - there.tm_min) % 1440 == 345);
}

/* --- the list of all ---------------------------------------------------------------------------------------------- */

static bool has_landlock(void)
{
    return syscall(444, NULL, 0, 1) > 0; /* landlock_create_ruleset, asked for its version */
}

static bool has_filters(void)
{
    return prctl(PR_GET_SECCOMP, 0, 0, 0, 0) >= 0;
}

typedef struct attempt {
    void (*work)(void);
    bool needs_landlock;
} attempt;

static void make_attempt(void **state)
{
    const attempt *a = *state;
    if (!(a->needs_landlock ? has_landlock() : has_filters()))
        skip();
    assert_in_child(a->work);
}

#define ATTEMPT(work, needs_landlock) {#work, make_attempt, NULL, NULL, &(attempt){work, needs_landlock}}

int main(void)
{
#ifdef LL_CONFINE_OFF
    return NOT_HERE;
#endif
    if (!has_landlock() && !has_filters())
        return NOT_HERE;
    const struct CMUnitTest tests[] = {
        ATTEMPT(read_inputs, true),
        ATTEMPT(read_elsewhere, true),
        ATTEMPT(write_output, true),
        ATTEMPT(write_elsewhere, true),
        ATTEMPT(write_behind_a_link, true),
        ATTEMPT(write_here, true),
        ATTEMPT(write_to_a_device, true),
        ATTEMPT(write_to_standard_output, true),
        ATTEMPT(write_to_a_dash, true),
        ATTEMPT(read_character_sets, true),
        ATTEMPT(reach_the_network, false),
        ATTEMPT(start_programs, false),
        ATTEMPT(touch_processes, false),
        ATTEMPT(change_attributes, false),
        ATTEMPT(start_threads, false),
        ATTEMPT(raise_a_signal, false),
        ATTEMPT(hold_in_threads_too, true),
        ATTEMPT(know_the_time_zone, true),
    };
    return cmocka_run_group_tests_name("confine", tests, make, clear);
}
