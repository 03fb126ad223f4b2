/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Landlock (Linux 5.13 and newer), by its system calls: the C library has no functions for them. */
#define _GNU_SOURCE /* O_PATH, dladdr, syscall */
#include "cli/confine.h"

#ifdef __has_include
#if defined __linux__ && !defined LL_CONFINE_OFF && __has_include(<linux/landlock.h>)
#define HAS_LANDLOCK 1
#endif
#endif

#ifdef HAS_LANDLOCK
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <linux/landlock.h>

#include "cli/output.h"

static const uint64_t write_in_folder =
    LANDLOCK_ACCESS_FS_WRITE_FILE | LANDLOCK_ACCESS_FS_MAKE_REG | LANDLOCK_ACCESS_FS_REMOVE_FILE;

/* How many rights on files the kernel knows, from bit 0 on: 0 where it has no Landlock. The header may be older. */
static int rights_known(void)
{
    long version = syscall(SYS_landlock_create_ruleset, NULL, 0, LANDLOCK_CREATE_RULESET_VERSION);
    if (version < 1)
        return 0;
    return version >= 5 ? 16 : version >= 3 ? 15 : version == 2 ? 14 : 13;
}

/* False if a file that is there would be closed to us although it was named. A pipe or socket cannot have a rule and
 * needs none (EBADFD). */
static bool allow_descriptor(int rules, int descriptor, uint64_t rights)
{
    const struct landlock_path_beneath_attr rule = {.allowed_access = rights, .parent_fd = descriptor};
    return syscall(SYS_landlock_add_rule, rules, LANDLOCK_RULE_PATH_BENEATH, &rule, 0) == 0 || errno == EBADFD;
}

/* Rights on a file, or on a folder and all below. What is not there is refused in its turn. */
static bool allow(int rules, const char *path, uint64_t of_file, uint64_t of_folder)
{
    struct stat facts;
    int descriptor = open(path, O_PATH | O_CLOEXEC);
    if (descriptor < 0)
        return true;
    bool is_folder = fstat(descriptor, &facts) == 0 && S_ISDIR(facts.st_mode);
    uint64_t rights = is_folder ? of_folder : of_file;
    bool done = rights == 0 || allow_descriptor(rules, descriptor, rights);
    close(descriptor);
    return done;
}

/* A folder named in place of a log is opened too, and then refused for what it is. Standard input is open. */
static bool allow_input(int rules, const char *path)
{
    return !path || strcmp(path, "-") == 0 ||
           allow(rules, path, LANDLOCK_ACCESS_FS_READ_FILE, LANDLOCK_ACCESS_FS_READ_DIR);
}

static bool allow_inputs(int rules, const ll_options *options)
{
    bool done = allow_input(rules, options->standard_path) && allow_input(rules, options->plan_path);
    for (size_t i = 0; done && i < options->log_count; i++)
        done = allow_input(rules, options->logs[i]);
    return done;
}

static bool allow_folder_of(int rules, ll_arena *arena, const char *target)
{
    const char *folder = ll_output_folder(arena, target);
    return folder && allow(rules, *folder ? folder : ".", 0, write_in_folder);
}

static bool allow_output(int rules, ll_arena *arena, const char *path)
{
    struct stat facts;
    if (ll_output_is_standard(path))
        return true;
    const char *target = ll_output_target(arena, path);
    if (!target)
        return true;
    if (stat(target, &facts) == 0 && !S_ISREG(facts.st_mode))
        return allow(rules, target, LANDLOCK_ACCESS_FS_WRITE_FILE, 0);
    return allow_folder_of(rules, arena, target);
}

/* The C library loads what it knows of a character set when it meets it, from a folder beside itself, or from that of
 * the same name below /usr. */
static bool allow_character_sets(int rules, ll_arena *arena)
{
    static const uint64_t rights = LANDLOCK_ACCESS_FS_READ_FILE | LANDLOCK_ACCESS_FS_READ_DIR;
    Dl_info library;
    const void *conversion = dlsym(RTLD_DEFAULT, "iconv_open");
    const char *slash = conversion && dladdr(conversion, &library) ? strrchr(library.dli_fname, '/') : NULL;
    if (!slash)
        return true;
    int length = (int)(slash - library.dli_fname);
    const char *beside = ll_arena_format(arena, "%.*s/gconv", length, library.dli_fname);
    const char *below_usr = ll_arena_format(arena, "/usr%.*s/gconv", length, library.dli_fname);
    return beside && below_usr && allow(rules, beside, 0, rights) && allow(rules, below_usr, 0, rights);
}

static bool allow_all(int rules, const ll_options *options)
{
    ll_arena arena;
    ll_arena_open(&arena, &ll_heap);
    bool done = allow_inputs(rules, options) && allow_output(rules, &arena, options->output) &&
                allow_character_sets(rules, &arena);
    ll_arena_close(&arena);
    return done;
}

bool ll_confine_files(const ll_options *options)
{
    const struct landlock_ruleset_attr known = {.handled_access_fs = (UINT64_C(1) << rights_known()) - 1};
    if (known.handled_access_fs == 0)
        return false;
    int rules = (int)syscall(SYS_landlock_create_ruleset, &known, sizeof known, 0);
    if (rules < 0)
        return false;
    bool done = allow_all(rules, options) && syscall(SYS_landlock_restrict_self, rules, 0) == 0;
    close(rules);
    return done;
}

#else

bool ll_confine_files(const ll_options *options)
{
    (void)options;
    return false;
}

#endif
