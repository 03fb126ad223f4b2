/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A seccomp filter: a short program that the kernel runs before each system call. */
#define _GNU_SOURCE /* CLONE_THREAD */
#include "cli/confine.h"

#if defined __linux__ && !defined LL_CONFINE_OFF && __BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__
#if defined __x86_64__ && !defined __ILP32__
#define MACHINE AUDIT_ARCH_X86_64
#elif defined __aarch64__ && !defined __ILP32__
#define MACHINE AUDIT_ARCH_AARCH64
#elif defined __riscv && __riscv_xlen == 64
#define MACHINE AUDIT_ARCH_RISCV64
#endif
#endif

#ifdef MACHINE
#include <errno.h>
#include <sched.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/ioctl.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>

enum { NEWEST = 451 }; /* of the calls looked at here, cachestat of Linux 6.5; x32 calls have higher numbers too */

static const uint32_t denied[] = {
    /* the network, and what can do the same by another way */
    SYS_socket, SYS_socketpair, SYS_connect, SYS_bind, SYS_listen, SYS_accept, SYS_accept4, SYS_sendto, SYS_sendmsg,
    SYS_sendmmsg, SYS_io_uring_setup, SYS_io_uring_enter, SYS_io_uring_register,
    /* programs and processes; clone and tgkill are looked at below */
    SYS_execve, SYS_execveat, SYS_ptrace, SYS_process_vm_readv, SYS_process_vm_writev, SYS_kill, SYS_tkill,
    SYS_rt_sigqueueinfo, SYS_rt_tgsigqueueinfo, SYS_pidfd_open, SYS_pidfd_getfd, SYS_pidfd_send_signal, SYS_kcmp,
    /* the machine */
    SYS_unshare, SYS_setns, SYS_chroot, SYS_pivot_root, SYS_mount, SYS_umount2, SYS_move_mount, SYS_open_tree,
    SYS_fsopen, SYS_fsmount, SYS_bpf, SYS_perf_event_open, SYS_userfaultfd, SYS_add_key, SYS_request_key, SYS_keyctl,
    SYS_open_by_handle_at, SYS_init_module, SYS_finit_module, SYS_delete_module, SYS_kexec_load, SYS_reboot,
    /* what Landlock lets be changed of files elsewhere */
    SYS_fchmodat, SYS_fchownat, SYS_utimensat, SYS_setxattr, SYS_lsetxattr, SYS_removexattr, SYS_lremovexattr,
    SYS_truncate,
#ifdef __x86_64__
    SYS_fork, SYS_vfork, SYS_chmod, SYS_chown, SYS_lchown, SYS_utime, SYS_utimes, SYS_futimesat,
#endif
};
enum { DENIED = sizeof denied / sizeof denied[0], LONGEST = 2 * DENIED + 32 };

typedef struct program {
    struct sock_filter step[LONGEST];
    unsigned short length;
} program;

static void add(program *p, uint16_t code, uint32_t value, uint8_t if_true, uint8_t if_false)
{
    p->step[p->length++] = (struct sock_filter)BPF_JUMP(code, value, if_true, if_false);
}

static void load(program *p, size_t offset)
{
    add(p, BPF_LD | BPF_W | BPF_ABS, (uint32_t)offset, 0, 0);
}

static void end(program *p, uint32_t action)
{
    add(p, BPF_RET | BPF_K, action, 0, 0);
}

static void fail_call(program *p, uint32_t number, int reason)
{
    add(p, BPF_JMP | BPF_JEQ | BPF_K, number, 0, 1);
    end(p, SECCOMP_RET_ERRNO | (uint32_t)reason);
}

/* Lets one call pass only where the comparison `test` of its argument with `value` holds. */
static void allow_call_if(program *p, uint32_t number, int argument, uint16_t test, uint32_t value)
{
    add(p, BPF_JMP | BPF_JEQ | BPF_K, number, 0, 4);
    load(p, offsetof(struct seccomp_data, args) + (size_t)argument * sizeof(uint64_t));
    add(p, BPF_JMP | test | BPF_K, value, 1, 0);
    end(p, SECCOMP_RET_ERRNO | EPERM);
    end(p, SECCOMP_RET_ALLOW);
}

/* Characters put into the terminal's input would be read by the shell after us. */
static void deny_typing(program *p)
{
    add(p, BPF_JMP | BPF_JEQ | BPF_K, SYS_ioctl, 0, 5);
    load(p, offsetof(struct seccomp_data, args) + sizeof(uint64_t));
    add(p, BPF_JMP | BPF_JEQ | BPF_K, TIOCSTI, 1, 0);
    add(p, BPF_JMP | BPF_JEQ | BPF_K, TIOCLINUX, 0, 1);
    end(p, SECCOMP_RET_ERRNO | EPERM);
    end(p, SECCOMP_RET_ALLOW);
}

/* What clone3 is asked for cannot be seen from here: without it the C library takes clone. Raising a signal in the own
 * process is how the handler of pending.c ends it. */
static void write_program(program *p)
{
    load(p, offsetof(struct seccomp_data, arch));
    add(p, BPF_JMP | BPF_JEQ | BPF_K, MACHINE, 1, 0);
    end(p, SECCOMP_RET_KILL_PROCESS);
    load(p, offsetof(struct seccomp_data, nr));
    add(p, BPF_JMP | BPF_JGT | BPF_K, NEWEST, 0, 1);
    end(p, SECCOMP_RET_ERRNO | ENOSYS);
    fail_call(p, SYS_clone3, ENOSYS);
    for (size_t i = 0; i < DENIED; i++)
        fail_call(p, denied[i], EPERM);
    allow_call_if(p, SYS_clone, 0, BPF_JSET, CLONE_THREAD);
    allow_call_if(p, SYS_tgkill, 0, BPF_JEQ, (uint32_t)getpid());
    deny_typing(p);
    end(p, SECCOMP_RET_ALLOW);
}

bool ll_confine_calls(void)
{
    program p = {.length = 0};
    write_program(&p);
    const struct sock_fprog filter = {p.length, p.step};
    return prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter) == 0;
}

#else

bool ll_confine_calls(void)
{
    return false;
}

#endif
