/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The file as a whole: its bytes, <standard> and <model>. */
#include <string.h>

#include "standard/reader.h"

/* --- <standard> and <model> --------------------------------------------------------------------------------------- */

bool ll_take_standard_tag(ll_standard_reader *reader, const ll_tag *tag)
{
    static const ll_attribute_row rows[] = {
        {"name", LL_VALUE_TEXT, offsetof(ll_standard, name), 1, LL_STANDARD_MOST_NAME, "a name of 1 to 200 bytes",
         NULL}};
    unsigned has;
    if (!ll_attributes_take(reader, tag, rows, 1, reader->standard, &has))
        return false;
    return has || ll_refuse(reader, tag->line, "<standard> needs the attribute 'name'");
}

bool ll_take_model_tag(ll_standard_reader *reader, const ll_tag *tag)
{
    static const char fraction[] = "a fraction from 0.01 to 1, such as 0.50 for 50 percent";
    static const ll_attribute_row rows[] = {
        {"gradient-low", LL_VALUE_NUMBER, offsetof(ll_standard_model, gradient_low), 0.01, 1, fraction, NULL},
        {"gradient-high", LL_VALUE_NUMBER, offsetof(ll_standard_model, gradient_high), 0.01, 1, fraction, NULL},
        {"narcotic-oxygen", LL_VALUE_BOOL, offsetof(ll_standard_model, narcotic_oxygen), 0, 0, "yes or no",
         ll_yes_words},
        {"last-stop", LL_VALUE_NUMBER, offsetof(ll_standard_model, last_stop_m), 3, 9, "a depth from 3 to 9 m", NULL},
    };
    enum { LOW = 1, HIGH = 2, OXYGEN = 4, LAST_STOP = 8 };
    ll_standard_model *model = &reader->standard->model;
    unsigned has;
    if (!ll_attributes_take(reader, tag, rows, sizeof rows / sizeof *rows, model, &has))
        return false;
    if (!(has & LOW) != !(has & HIGH))
        return ll_refuse(reader, tag->line, "'gradient-low' and 'gradient-high' go together");
    if (has & LOW && model->gradient_low > model->gradient_high)
        return ll_refuse(reader, ll_attribute_line(tag, "gradient-high"),
                         "'gradient-low' is more than 'gradient-high'");
    model->has_gradients = has & LOW;
    model->has_narcotic_oxygen = has & OXYGEN;
    model->has_last_stop = has & LAST_STOP;
    return true;
}

/* --- bytes -------------------------------------------------------------------------------------------------------- */

/* All bytes into `text`; they are few. */
static void take_bytes(ll_standard_reader *reader, ll_standard_read_fn read, void *context, ll_text *text)
{
    char piece[4096];
    ptrdiff_t size;
    while ((size = read(context, piece, sizeof piece)) > 0) {
        if (text->size + (size_t)size > LL_STANDARD_MOST_BYTES) {
            ll_refuse(reader, 0, "larger than %d bytes", LL_STANDARD_MOST_BYTES);
            return;
        }
        ll_text_add(text, piece, (size_t)size);
    }
    if (size < 0)
        ll_refuse(reader, 0, "the input could not be read");
    else if (text->no_memory)
        ll_refuse_no_memory(reader);
    else if (text->size == 0)
        ll_refuse(reader, 0, "the file is empty");
}

static void digest(ll_standard *standard, const ll_text *text)
{
    ll_digest sum;
    ll_digest_open(&sum);
    ll_digest_add(&sum, text->bytes, text->size);
    ll_digest_close(&sum, standard->sha256);
}

/* Everything but the arena. */
static void read_into(ll_standard_reader *reader, ll_standard_read_fn read, void *context)
{
    ll_standard *standard = reader->standard;
    ll_text text;
    reader->requirement =
        ll_arena_array(&standard->arena, LL_STANDARD_MOST_REQUIREMENTS, sizeof *reader->requirement);
    if (!reader->requirement) {
        ll_refuse_no_memory(reader);
        return;
    }
    standard->requirement = reader->requirement;
    ll_text_open(&text, standard->arena.allocator, NULL, NULL);
    take_bytes(reader, read, context, &text);
    if (reader->error.status == LL_OK) {
        digest(standard, &text);
        ll_standard_parse(reader, text.bytes, text.size);
    }
    ll_text_close(&text);
    if (reader->error.status == LL_OK)
        ll_check_standard(reader);
}

ll_status ll_standard_read(const char *name, ll_standard_read_fn read, void *context, const ll_allocator *allocator,
                           ll_standard **standard, ll_error *error)
{
    ll_arena arena;
    ll_arena_open(&arena, allocator);
    *standard = NULL;
    ll_standard *made = ll_arena_alloc(&arena, sizeof *made);
    const char *file = ll_arena_text(&arena, name);
    if (!made || !file) {
        ll_arena_close(&arena);
        return ll_fail_memory(error);
    }
    made->arena = arena;
    made->file = file;
    ll_standard_reader reader = {.standard = made};
    read_into(&reader, read, context);
    if (reader.error.status != LL_OK) {
        ll_standard_free(made);
        return ll_fail(error, reader.error.status, reader.error.line, "%s", reader.error.text);
    }
    *standard = made;
    return LL_OK;
}
