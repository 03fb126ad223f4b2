/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/help.h"

#include <string.h>

#include "base/error.h"
#include "base/text.h"
#include "cli/output.h"
#include "cli/say.h"

enum { NAME_COLUMN = 10, HELP_COLUMN = 28 };

static const char *const selection_words[] = {
    [LEADLINE_ALL] = "all dives",
    [LEADLINE_LATEST] = "the latest dive",
    [LEADLINE_NUMBERS] = "the dives of these numbers",
    [LEADLINE_DAY] = "the dives of this day",
};

static const char *const opening =
    "leadline: what did this diver actually do?\n"
    "\n"
    "    leadline COMMAND [OPTION]... LOG...\n"
    "\n"
    "A LOG is a UDDF file, plain or gzipped, or - for standard input. Several logs are\n"
    "one diver's history, merged in time order.\n";

static const char *const closing =
    "\n"
    "Exit codes: 0 done; 1 done, and --fail-on asks for it, or a page differs; 2 wrong\n"
    "usage; 3 an input could not be used; 4 an output could not be written or memory\n"
    "ran out.\n"
    "\n"
    "A replay is arithmetic on what a recorder stored. It is not for planning,\n"
    "settings, the next dive or flying.\n";

static void add_column(ll_text *text, const char *word, size_t width)
{
    size_t length = strlen(word);
    ll_text_puts(text, word);
    ll_text_fill(text, ' ', length < width ? width - length : 1);
}

static void add_commands(ll_text *text)
{
    ll_text_puts(text, "\nCommands, each described by leadline COMMAND --help:\n");
    for (int i = 0; i < ll_commands; i++) {
        ll_text_puts(text, "  ");
        add_column(text, ll_command_table[i].name, NAME_COLUMN);
        ll_text_format(text, "%s\n", ll_command_table[i].answers);
    }
}

/* The name with its argument, then the help, on the next line where the name is long. */
static void add_option(ll_text *text, const ll_option *option)
{
    size_t start = text->size;
    ll_text_puts(text, "  ");
    if (option->letter)
        ll_text_format(text, "-%c, ", option->letter);
    ll_text_format(text, "--%s", option->name);
    if (option->argument)
        ll_text_format(text, " %s", option->argument);
    if (text->size - start >= HELP_COLUMN) {
        ll_text_putc(text, '\n');
        start = text->size;
    }
    if (text->size - start < HELP_COLUMN)
        ll_text_fill(text, ' ', HELP_COLUMN - (text->size - start));
    ll_text_format(text, "%s\n", option->help);
}

static void add_options(ll_text *text, unsigned commands)
{
    ll_text_puts(text, "\nOptions, anywhere; -- ends them:\n");
    for (int i = 0; i < ll_options_count; i++)
        if (ll_option_table[i].commands & commands)
            add_option(text, &ll_option_table[i]);
}

static void add_formats(ll_text *text, const ll_command *command)
{
    ll_text_puts(text, "Formats:");
    for (int i = LEADLINE_TEXT; i < LL_FORMATS; i++)
        if (command->formats & LL_FORMAT(i))
            ll_text_format(text, " %s", ll_format_words[i]);
    ll_text_format(text, "; without --format: %s.\n", ll_format_words[command->format]);
}

static void add_command(ll_text *text, const ll_command *command)
{
    ll_text_format(text, "leadline %s: %s\n\n    leadline %s [OPTION]... %s\n\n", command->name, command->answers,
                   command->name, command->inputs);
    if (command->render)
        ll_text_format(text, "Without --dive: %s.\n", selection_words[command->by]);
    add_formats(text, command);
    add_options(text, command->bit);
}

/* Writes the text to standard output. */
static int print(ll_text *text)
{
    ll_output output;
    ll_error error;
    ll_status status = text->no_memory ? ll_fail_memory(&error) : ll_output_open(&output, NULL, &error);
    if (status == LL_OK) {
        ll_output_write(&output, text->bytes, text->size);
        status = ll_output_finish(&output, &error);
    }
    ll_text_close(text);
    if (status != LL_OK)
        ll_say_error("standard output", &error);
    return ll_exit_code(status);
}

int ll_help(const ll_options *options)
{
    ll_text text;
    ll_text_open(&text, &ll_heap, NULL, NULL);
    if (options->command) {
        add_command(&text, options->command);
    } else {
        ll_text_puts(&text, opening);
        add_commands(&text);
        add_options(&text, LL_ON_ALL);
        ll_text_puts(&text, closing);
    }
    return print(&text);
}

int ll_help_version(const ll_options *options)
{
    (void)options;
    ll_text text;
    ll_text_open(&text, &ll_heap, NULL, NULL);
    ll_text_format(&text, "leadline %s\n", leadline_version());
    return print(&text);
}
