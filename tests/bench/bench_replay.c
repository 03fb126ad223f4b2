/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Measures the stages of a run on one log, through the door: bench_replay LOG. Run by hand; see bench.sh. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include <leadline/leadline.h>

static ptrdiff_t read_file(void *context, void *bytes, size_t capacity)
{
    size_t count = fread(bytes, 1, capacity, context);
    return count == 0 && ferror((FILE *)context) ? -1 : (ptrdiff_t)count;
}

static double now_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void fail(const ll_error *error)
{
    fprintf(stderr, "bench_replay: %s\n", error->text);
    exit(1);
}

/* Replays every dive; returns the rows. */
static size_t replay_all(const ll_history *history, const char *keys)
{
    size_t rows = 0;
    for (unsigned number = 1; number <= leadline_history_dives(history); number++) {
        ll_replay *replay;
        ll_error error;
        if (leadline_replay(history, number, keys, &replay, &error) != LL_OK)
            fail(&error);
        rows += leadline_replay_rows(replay);
        leadline_replay_free(replay);
    }
    return rows;
}

static void measure(const ll_history *history, const char *what, const char *keys)
{
    double start = now_s();
    size_t rows = replay_all(history, keys);
    double took = now_s() - start;
    printf("%-44s %8.3f s  %6.0f ns a row\n", what, took, rows ? took * 1e9 / (double)rows : NAN);
}

int main(int count, char **arguments)
{
    FILE *file = count == 2 ? fopen(arguments[1], "rb") : NULL;
    if (!file) {
        fprintf(stderr, "usage: bench_replay LOG\n");
        return 2;
    }
    ll_error error;
    ll_log *log;
    ll_history *history;
    ll_settings settings;
    leadline_settings(&settings);
    double start = now_s();
    if (leadline_log_read("history", read_file, file, &log, &error) != LL_OK)
        fail(&error);
    printf("%-44s %8.3f s\n", "read", now_s() - start);
    start = now_s();
    if (leadline_merge(&log, 1, &settings, NULL, &history, &error) != LL_OK)
        fail(&error);
    printf("%-44s %8.3f s\n", "merge and advance", now_s() - start);
    measure(history, "depth and gas columns", "po2_atm,end_n2_m,end_n2o2_m,density_g_l,ascent_rate_m_min");
    measure(history, "all but the two projections",
            "ambient_bar,mix_o2,mix_he,po2_atm,end_n2_m,end_n2o2_m,density_g_l,ascent_rate_m_min,ceiling_m,stop_m,"
            "gradient_percent,leading_compartment,cns_percent,otu,temperature_c");
    if (getenv("BENCH_PROJECTIONS")) {
        measure(history, "no-stop time alone", "no_stop_s");
        measure(history, "time to surface alone", "time_to_surface_s");
    }
    leadline_history_free(history);
    leadline_log_free(log);
    fclose(file);
    return 0;
}
