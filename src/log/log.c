/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/log.h"

const ll_input_limits ll_input_limits_built_in = {
    .nesting = 256,
    .text_bytes = 64 * 1024,
    .dives = 100 * 1000,
    .samples = 1000 * 1000,
    .total_samples = 20 * 1000 * 1000,
    .total_bytes = (size_t)2 * 1024 * 1024 * 1024 - 1,
    .ids = 1000 * 1000,
    .block_bytes = (size_t)256 * 1024,
};

void ll_log_free(ll_log *log)
{
    if (!log)
        return;
    ll_arena arena = log->arena; /* the log itself lives in it */
    ll_arena_close(&arena);
}
