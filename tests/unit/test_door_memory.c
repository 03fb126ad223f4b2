/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every command and format through the door, while memory runs out at each request in turn, those of libxml2 too: from
 * that request on, and at that one alone. Either LL_NO_MEMORY with its sentence, or the whole output; nothing that is not
 * given back. Linked with --wrap, so that what the library asks of the C library comes by here. In sanitizer builds, where
 * each piece of an arena is a request, requests are sampled. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <libxml/globals.h>
#include <libxml/xmlmemory.h>

#include <leadline/leadline.h>

enum { MOST_FILE = 256 * 1024, MOST_OUTPUT = 4 * 1024 * 1024, ALL_BELOW = 1000, SAMPLES = 60 };

/* --- the heap ------------------------------------------------------------------------------------------------------- */

void *__real_realloc(void *old, size_t size);
void __real_free(void *bytes);
void *__wrap_realloc(void *old, size_t size);
void __wrap_free(void *bytes);

static size_t calls, refuse_from, refuse_to; /* requests, from 1; 0: none is refused */
static size_t live;

static bool is_refused(void)
{
    calls++;
    return refuse_from && calls >= refuse_from && calls <= refuse_to;
}

void *__wrap_realloc(void *old, size_t size)
{
    void *bytes = is_refused() ? NULL : __real_realloc(old, size);
    live += !old && bytes;
    return bytes;
}

void __wrap_free(void *bytes)
{
    live -= bytes != NULL;
    __real_free(bytes);
}

static void *parser_malloc(size_t size)
{
    return __wrap_realloc(NULL, size ? size : 1);
}

static char *parser_strdup(const char *text)
{
    char *copy = parser_malloc(strlen(text) + 1);
    return copy ? strcpy(copy, text) : NULL;
}

/* --- files ---------------------------------------------------------------------------------------------------------- */

typedef struct file {
    const char *path;
    size_t size, next;
    char bytes[MOST_FILE];
} file;

static file dive = {.path = "ok-fast-ascent.uddf"}, unfinished = {.path = "note-ends-below.uddf"},
            one = {.path = "class/ok-class-eskil.uddf"}, other = {.path = "class/ok-class-idun.uddf"},
            slate = {.path = "class/slate-45.txt"}, course = {.path = "standard-first-helium.xml"};

static void load(file *from)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", LL_SAMPLE_LOGS, from->path);
    FILE *opened = fopen(path, "rb");
    assert_non_null(opened);
    from->size = fread(from->bytes, 1, MOST_FILE, opened);
    assert_true(from->size > 0 && from->size < MOST_FILE);
    fclose(opened);
}

static ptrdiff_t take(void *context, void *bytes, size_t capacity)
{
    file *from = context;
    size_t size = from->size - from->next;
    size = size < capacity ? size : capacity;
    memcpy(bytes, from->bytes + from->next, size);
    from->next += size;
    return (ptrdiff_t)size;
}

static ll_status read_log(file *from, ll_log **log, ll_error *error)
{
    from->next = 0;
    return leadline_log_read(from->path, take, from, log, error);
}

typedef struct sink {
    size_t size;
    char bytes[MOST_OUTPUT];
} sink;

static sink written, expected, page;

static int keep(void *context, const void *bytes, size_t size)
{
    sink *into = context;
    assert_true(size <= MOST_OUTPUT - into->size);
    memcpy(into->bytes + into->size, bytes, size);
    into->size += size;
    return 0;
}

/* --- commands ------------------------------------------------------------------------------------------------------- */

/* What one run has read. */
typedef struct world {
    ll_log *log[2];
    ll_standard *standard;
    ll_plan *plan;
    ll_history *history;
    ll_settings settings;
} world;

static ll_status open_world(world *w, file *first, file *second, leadline_output *output, ll_error *error)
{
    *w = (world){.plan = NULL};
    course.next = 0;
    leadline_settings(&w->settings);
    ll_status status = leadline_standard_read(course.path, take, &course, &w->standard, error);
    if (status == LL_OK)
        leadline_standard_apply(w->standard, &w->settings);
    output->standard = w->standard;
    if (status == LL_OK)
        status = read_log(first, &w->log[0], error);
    return status == LL_OK ? read_log(second, &w->log[1], error) : status;
}

static ll_status close_world(world *w, ll_status status)
{
    leadline_history_free(w->history);
    leadline_plan_free(w->plan);
    leadline_standard_free(w->standard);
    leadline_log_free(w->log[0]);
    leadline_log_free(w->log[1]);
    return status;
}

static ll_status merge(world *w, leadline_output *output, ll_error *error)
{
    ll_status status = open_world(w, &unfinished, &dive, output, error);
    return status == LL_OK ? leadline_merge(w->log, 2, &w->settings, NULL, &w->history, error) : status;
}

static const leadline_selection all = {.by = LEADLINE_ALL}, latest = {.by = LEADLINE_LATEST};

static ll_status list(leadline_output *output, ll_error *error)
{
    world w;
    ll_status status = merge(&w, output, error);
    return close_world(&w, status == LL_OK ? leadline_list(w.history, &all, output, error) : status);
}

static ll_status debrief(leadline_output *output, ll_error *error)
{
    world w;
    ll_status status = merge(&w, output, error);
    return close_world(&w, status == LL_OK ? leadline_debrief(w.history, &all, output, NULL, error) : status);
}

static ll_status rows(leadline_output *output, ll_error *error)
{
    world w;
    output->tissues = true;
    ll_status status = merge(&w, output, error);
    return close_world(&w, status == LL_OK ? leadline_rows(w.history, &latest, output, error) : status);
}

/* No output, so the values stand in for it. */
static ll_status columns(leadline_output *output, ll_error *error)
{
    world w;
    ll_replay *replay = NULL;
    ll_status status = merge(&w, output, error);
    if (status == LL_OK)
        status = leadline_replay(w.history, 1, "depth_m,po2_atm,ceiling_m", &replay, error);
    if (status == LL_OK)
        keep(output->context, leadline_replay_column(replay, "ceiling_m"), leadline_replay_rows(replay) * sizeof(double));
    leadline_replay_free(replay);
    return close_world(&w, status);
}

static ll_status audit(leadline_output *output, ll_error *error)
{
    world w;
    ll_status status = open_world(&w, &unfinished, &dive, output, error);
    if (status == LL_OK)
        status = leadline_audit(w.log, 2, &w.settings, NULL, 20782, output, NULL, error);
    return close_world(&w, status);
}

static ll_status review_against(file *plan, leadline_output *output, ll_error *error)
{
    world w;
    ll_status status = open_world(&w, &one, &other, output, error);
    plan->next = 0;
    if (status == LL_OK)
        status = leadline_plan_read(plan->path, take, plan, &w.plan, error);
    const leadline_diver diver[] = {{"Eskil", 1, &w.log[0]}, {NULL, 1, &w.log[1]}};
    const leadline_review_asked asked = {.divers = 2, .diver = diver, .plan = w.plan, .lead = "Eskil"};
    if (status == LL_OK)
        status = leadline_review(&asked, &w.settings, output, NULL, error);
    return close_world(&w, status);
}

static ll_status review(leadline_output *output, ll_error *error)
{
    return review_against(&slate, output, error);
}

static ll_status review_against_a_log(leadline_output *output, ll_error *error)
{
    return review_against(&one, output, error);
}

static ll_status verify(leadline_output *output, ll_error *error)
{
    world w;
    bool holds = false;
    ll_status status = open_world(&w, &unfinished, &dive, output, error);
    if (status == LL_OK)
        status = leadline_verify("page.html", page.bytes, page.size, w.log, 2, output, &holds, error);
    assert_true(status != LL_OK || holds);
    return close_world(&w, status);
}

/* --- the walk ------------------------------------------------------------------------------------------------------- */

typedef ll_status (*command)(leadline_output *output, ll_error *error);

/* Runs with these requests refused. */
static ll_status run(command go, leadline_format format, size_t from, size_t to, sink *into, ll_error *error)
{
    leadline_output output = {.format = format, .names = LEADLINE_NAMES_INITIALS, .write = keep, .context = into};
    *error = (ll_error){.status = LL_OK};
    into->size = calls = 0;
    refuse_from = from;
    refuse_to = to;
    ll_status status = go(&output, error);
    refuse_from = 0;
    return status;
}

static bool is_as_expected(void)
{
    return written.size == expected.size && memcmp(written.bytes, expected.bytes, expected.size) == 0;
}

static void try_refusing(command go, leadline_format format, size_t from, size_t to, size_t kept)
{
    ll_error error;
    ll_status status = run(go, format, from, to, &written, &error);
    if (live != kept)
        fail_msg("format %d, %zu to %zu refused: %zu blocks more than before", (int)format, from, to, live - kept);
    if (status == LL_OK ? !is_as_expected() : status != LL_NO_MEMORY || strcmp(error.text, "memory ran out") != 0)
        fail_msg("format %d, %zu to %zu refused: status %d, '%s', %zu bytes of %zu", (int)format, from, to, (int)status,
                 error.text, written.size, expected.size);
    if (to == SIZE_MAX && status == LL_OK)
        fail_msg("format %d: request %zu was refused, and nobody was told", (int)format, from);
}

static void walk(command go, leadline_format format)
{
    ll_error error;
    assert_int_equal(run(go, format, 0, 0, &written, &error), LL_OK); /* sets libxml2 up */
    assert_int_equal(run(go, format, 0, 0, &expected, &error), LL_OK);
    const size_t count = calls, kept = live, step = count < ALL_BELOW ? 1 : count / SAMPLES;
    assert_int_equal(run(go, format, 0, 0, &written, &error), LL_OK);
    assert_int_equal(calls, count);
    assert_int_equal(live, kept);
    assert_true(expected.size > 0 && count > 50);
    for (size_t at = 1; at <= count; at += step) {
        try_refusing(go, format, at, SIZE_MAX, kept);
        try_refusing(go, format, at, at, kept);
    }
}

static void walk_formats(command go, leadline_format first, leadline_format last)
{
    for (int format = (int)first; format <= (int)last; format++)
        walk(go, (leadline_format)format);
}

static void lists_run_out_of_memory(void **state)
{
    (void)state;
    walk_formats(list, LEADLINE_TEXT, LEADLINE_CSV);
}

static void debriefs_run_out_of_memory(void **state)
{
    (void)state;
    walk_formats(debrief, LEADLINE_TEXT, LEADLINE_HTML);
}

static void rows_run_out_of_memory(void **state)
{
    (void)state;
    walk_formats(rows, LEADLINE_JSON, LEADLINE_CSV);
    walk(columns, LEADLINE_TEXT);
}

static void audits_run_out_of_memory(void **state)
{
    (void)state;
    walk_formats(audit, LEADLINE_TEXT, LEADLINE_HTML);
}

static void reviews_run_out_of_memory(void **state)
{
    (void)state;
    walk_formats(review, LEADLINE_TEXT, LEADLINE_HTML);
    walk(review_against_a_log, LEADLINE_CSV);
}

static void verifying_runs_out_of_memory(void **state)
{
    (void)state;
    ll_error error;
    assert_int_equal(run(debrief, LEADLINE_HTML, 0, 0, &page, &error), LL_OK);
    walk_formats(verify, LEADLINE_TEXT, LEADLINE_JSON);
}

static int load_all(void **state)
{
    (void)state;
    file *const files[] = {&dive, &unfinished, &one, &other, &slate, &course};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        load(files[i]);
    return xmlMemSetup(__wrap_free, parser_malloc, __wrap_realloc, parser_strdup);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lists_run_out_of_memory),   cmocka_unit_test(debriefs_run_out_of_memory),
        cmocka_unit_test(rows_run_out_of_memory),    cmocka_unit_test(audits_run_out_of_memory),
        cmocka_unit_test(reviews_run_out_of_memory), cmocka_unit_test(verifying_runs_out_of_memory),
    };
    return cmocka_run_group_tests(tests, load_all, NULL);
}
