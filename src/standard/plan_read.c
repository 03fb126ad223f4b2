/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "standard/plan.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "base/utf8.h"
#include "standard/plan_field.h"

/* No file within the caps is longer: a byte order mark, and lines with CR LF. */
enum { MOST_BYTES = 3 + LL_PLAN_MOST_LINES * (LL_PLAN_MOST_LINE + 2) };

typedef struct {
    ll_plan *plan;
    ll_plan_variant *variant; /* room for all */
    ll_plan_point *point;     /* room for all */
    size_t points;
    size_t line;    /* that is being read */
    size_t begun;   /* line that began the variant */
    ll_error error; /* status LL_OK: nothing so far */
} slate_reader;

/* Each notes what is wrong and is always false, so that a check can end with it. */

static bool refuse_as(slate_reader *slate, size_t line, const char *expected, const char *found)
{
    ll_fail(&slate->error, LL_BAD_INPUT, (long)line, "expected %s, found %s", expected, found);
    return false;
}

static bool refuse(slate_reader *slate, const char *expected, ll_piece found)
{
    char quoted[LL_PIECE_QUOTED];
    if (found.size == 0)
        return refuse_as(slate, slate->line, expected, "nothing");
    ll_fail(&slate->error, LL_BAD_INPUT, (long)slate->line, "expected %s, found '%s'", expected,
            ll_piece_quote(quoted, found));
    return false;
}

static bool refuse_no_memory(slate_reader *slate)
{
    ll_fail_memory(&slate->error);
    return false;
}

/* --- variants ----------------------------------------------------------------------------------------------------- */

/* Blanks and tabs within a trimmed name become single blanks. */
static ll_piece tidy_name(char buffer[LL_PLAN_MOST_LINE + 1], ll_piece name)
{
    size_t size = 0;
    while (name.size) {
        ll_piece word = ll_piece_field(&name);
        memcpy(buffer + size, word.bytes, word.size);
        size += word.size;
        buffer[size++] = ' ';
    }
    size -= size > 0;
    buffer[size] = '\0';
    return (ll_piece){buffer, size};
}

static bool is_taken(const ll_plan *plan, const char *name)
{
    for (size_t i = 0; i < plan->count; i++)
        if (strcmp(plan->variant[i].name, name) == 0)
            return true;
    return false;
}

/* The variant that is being read has all its lines now. */
static bool end_variant(slate_reader *slate)
{
    const ll_plan *plan = slate->plan;
    if (plan->count == 0 || plan->variant[plan->count - 1].count >= 2)
        return true;
    return refuse_as(slate, slate->begun, "at least two lines 'run depth mix' in a variant",
                     plan->variant[plan->count - 1].count ? "one" : "none");
}

static bool begin_variant(slate_reader *slate, ll_piece rest)
{
    char buffer[LL_PLAN_MOST_LINE + 1];
    ll_plan *plan = slate->plan;
    if (!end_variant(slate))
        return false;
    ll_piece name = tidy_name(buffer, rest);
    if (name.size == 0)
        return refuse(slate, "a name behind 'variant'", name);
    if (!ll_piece_is_plain(name))
        return refuse(slate, "a name without control characters", name);
    if (is_taken(plan, buffer))
        return refuse(slate, "a name that no variant above has", name);
    if (plan->count == LL_PLAN_MOST_VARIANTS)
        return refuse(slate, "at most 32 variants", name);
    char *copy = ll_arena_text(&plan->arena, buffer);
    if (!copy)
        return refuse_no_memory(slate);
    slate->variant[plan->count++] = (ll_plan_variant){.name = copy, .point = slate->point + slate->points};
    slate->begun = slate->line;
    return true;
}

/* --- points ------------------------------------------------------------------------------------------------------- */

static bool take_run(slate_reader *slate, ll_piece field, const ll_plan_point *before, ll_plan_point *point)
{
    if (!ll_piece_run(field, &point->run_s))
        return refuse(slate, "a run time in minutes such as 12.5 or 12:30", field);
    if (point->run_s > LL_PLAN_MOST_MINUTES * 60.0)
        return refuse(slate, "a run time of at most 10000 minutes", field);
    if (before && point->run_s < before->run_s)
        return refuse(slate, "a run time that is not earlier than the one above it", field);
    return true;
}

static bool take_depth(slate_reader *slate, ll_piece field, const ll_plan_point *before, ll_plan_point *point)
{
    if (!ll_piece_number(field, &point->depth_m) || point->depth_m > LL_PLAN_DEEPEST_M)
        return refuse(slate, "a depth from 0 to 330 m", field);
    if (before && point->run_s <= before->run_s && point->depth_m != before->depth_m)
        return refuse(slate, "the depth of the line above, which has the same run time", field);
    return true;
}

static bool take_mix(slate_reader *slate, ll_piece field, const ll_plan_point *before, ll_plan_point *point)
{
    if (field.size == 0 && before) {
        point->o2 = before->o2;
        point->he = before->he;
        return true;
    }
    if (field.size == 0)
        return refuse(slate, "a mix on the first line of a variant", field);
    return ll_piece_mix(field, &point->o2, &point->he) ||
           refuse(slate, "a mix such as air, EAN32, 18/45 or oxygen", field);
}

static bool take_point(slate_reader *slate, ll_piece text)
{
    if (slate->plan->count == 0 &&
        !begin_variant(slate, (ll_piece){LL_PLAN_FIRST_NAME, sizeof LL_PLAN_FIRST_NAME - 1}))
        return false;
    ll_plan_variant *variant = &slate->variant[slate->plan->count - 1];
    ll_plan_point *point = &slate->point[slate->points];
    const ll_plan_point *before = variant->count ? point - 1 : NULL;
    ll_piece run = ll_piece_field(&text), depth = ll_piece_field(&text), mix = ll_piece_field(&text);
    point->line = slate->line;
    if (!take_run(slate, run, before, point) || !take_depth(slate, depth, before, point) ||
        !take_mix(slate, mix, before, point))
        return false;
    if (text.size)
        return refuse(slate, "nothing behind run time, depth and mix", text);
    variant->greatest_m = fmax(variant->greatest_m, point->depth_m);
    variant->count++;
    slate->points++;
    return true;
}

/* --- lines -------------------------------------------------------------------------------------------------------- */

static bool check_utf8(slate_reader *slate, ll_piece line)
{
    uint32_t point;
    size_t at = 0, size = 1;
    for (; at < line.size && size; at += size)
        size = ll_utf8_read(line.bytes + at, &point);
    if (size)
        return true;
    ll_fail(&slate->error, LL_BAD_INPUT, (long)slate->line, "expected UTF-8 text, found the byte 0x%02X",
            (unsigned)(unsigned char)line.bytes[at]);
    return false;
}

/* A line without its LF. */
static bool take_line(slate_reader *slate, ll_piece line)
{
    slate->line++;
    if (slate->line > LL_PLAN_MOST_LINES)
        return refuse_as(slate, slate->line, "at most 1000 lines", "more");
    line.size -= line.size && line.bytes[line.size - 1] == '\r';
    if (line.size > LL_PLAN_MOST_LINE)
        return refuse_as(slate, slate->line, "at most 200 bytes in a line", "more");
    if (!check_utf8(slate, line))
        return false;
    ll_piece comment, text = line;
    ll_piece_split(line, '#', &text, &comment);
    text = ll_piece_trim(text);
    ll_piece rest = text;
    if (text.size == 0)
        return true;
    return ll_piece_is_word(ll_piece_field(&rest), "variant") ? begin_variant(slate, rest) : take_point(slate, text);
}

/* `bytes` end with a 0 that does not count. */
static bool take_lines(slate_reader *slate, const char *bytes, size_t size)
{
    const char *end = bytes + size;
    if (strncmp(bytes, "\xEF\xBB\xBF", 3) == 0)
        bytes += 3;
    while (bytes < end) {
        const char *stop = memchr(bytes, '\n', (size_t)(end - bytes));
        if (!take_line(slate, (ll_piece){bytes, (size_t)((stop ? stop : end) - bytes)}))
            return false;
        bytes = stop ? stop + 1 : end;
    }
    if (slate->plan->count == 0)
        return refuse_as(slate, 0, "lines 'run depth mix'", "none");
    return end_variant(slate);
}

/* --- the file ----------------------------------------------------------------------------------------------------- */

/* All bytes into `text`, or more than the caps allow, so that one of them is met. */
static bool take_bytes(slate_reader *slate, ll_plan_read_fn read, void *context, ll_text *text)
{
    char bytes[4096];
    ptrdiff_t size = 0;
    while (text->size <= MOST_BYTES && !text->no_memory && (size = read(context, bytes, sizeof bytes)) > 0)
        ll_text_add(text, bytes, (size_t)size);
    if (size < 0)
        return ll_fail(&slate->error, LL_BAD_INPUT, 0, "the input could not be read") == LL_OK;
    return ll_text_string(text) || refuse_no_memory(slate);
}

static void read_into(slate_reader *slate, ll_plan_read_fn read, void *context)
{
    ll_plan *plan = slate->plan;
    ll_text text;
    ll_digest sum;
    slate->point = ll_arena_array(&plan->arena, LL_PLAN_MOST_LINES, sizeof *slate->point);
    slate->variant = ll_arena_array(&plan->arena, LL_PLAN_MOST_VARIANTS, sizeof *slate->variant);
    if (!slate->point || !slate->variant) {
        refuse_no_memory(slate);
        return;
    }
    plan->variant = slate->variant;
    ll_text_open(&text, plan->arena.allocator, NULL, NULL);
    if (take_bytes(slate, read, context, &text) && take_lines(slate, text.bytes, text.size)) {
        ll_digest_open(&sum);
        ll_digest_add(&sum, text.bytes, text.size);
        ll_digest_close(&sum, plan->sha256);
    }
    ll_text_close(&text);
}

ll_status ll_plan_read(const char *name, ll_plan_read_fn read, void *context, const ll_allocator *allocator,
                       ll_plan **plan, ll_error *error)
{
    ll_arena arena;
    ll_arena_open(&arena, allocator);
    *plan = NULL;
    ll_plan *made = ll_arena_alloc(&arena, sizeof *made);
    const char *file = ll_arena_text(&arena, name);
    if (!made || !file) {
        ll_arena_close(&arena);
        return ll_fail_memory(error);
    }
    made->arena = arena;
    made->name = file;
    slate_reader slate = {.plan = made};
    read_into(&slate, read, context);
    if (slate.error.status != LL_OK) {
        ll_plan_free(made);
        return ll_fail(error, slate.error.status, slate.error.line, "%s", slate.error.text);
    }
    *plan = made;
    return LL_OK;
}
