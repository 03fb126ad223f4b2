/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/options.h"

#include <string.h>

#include "base/error.h"
#include "base/settings.h"
#include "cli/divers.h"
#include "cli/pool.h"
#include "cli/values.h"

const ll_option ll_option_table[] = {
    {"dive", 0, "N|N-M|all|YYYY-MM-DD", "which dives: by number in time order, all, or a day",
     LL_ON_ALL & ~LL_ON_AUDIT,
     "a number, a range such as 2-5, all, or a day as YYYY-MM-DD", ll_take_dive},
    {"gf", 0, "LOW/HIGH|log", "gradient factors in percent, or the log's own", LL_ON_ALL,
     "two percentages such as 50/80, or log", ll_take_gf},
    {"model", 0, "zh-l16a|zh-l16b|zh-l16c|vval-18|mn90", "the model that dives are replayed through", LL_ON_ALL,
     "zh-l16a, zh-l16b, zh-l16c, vval-18 or mn90", ll_take_model},
    {"water", 0, "[NAME=]fresh|sea|log|KG_M3", "density that the recorder was set to; review: NAME's", LL_ON_ALL,
     "fresh, sea, log or a density in kg/m3, in a review also behind NAME=", ll_take_water},
    {"surface", 0, "BAR", "surface pressure, 0.5 to 1.1", LL_ON_ALL, "a pressure in bar", ll_take_surface},
    {"last-stop", 0, "M", "depth of the last stop, 3 to 9 m", LL_ON_ALL, "a depth in metres", ll_take_last_stop},
    {"narcotic-oxygen", 0, "yes|no", "whether the END of the narcosis limit counts oxygen", LL_ON_ALL, "yes or no",
     ll_take_narcotic_oxygen},
    {"firm", 0, "yes|no", "whether findings say if they stand against recorder error", LL_ON_DEBRIEF | LL_ON_AUDIT | LL_ON_REVIEW,
     "yes or no", ll_take_firm},
    {"rmv", 0, "L_MIN", "rate of each of two divers for the gas margin afterwards", LL_ON_DEBRIEF | LL_ON_REVIEW,
     "litres a minute such as 30", ll_take_rmv},
    {"assume-air", 0, NULL, "an unknown mix counts as air", LL_ON_ALL, NULL, ll_take_assume_air},
    {"standard", 0, "FILE", "course standard: limits, settings, entry requirements", LL_ON_ALL, "the name of a file, not -",
     ll_take_standard},
    {"as-of", 0, "YYYY-MM-DD", "the day that an audit stands on; without it today", LL_ON_AUDIT, "a day as YYYY-MM-DD",
     ll_take_as_of},
    {"plan", 0, "FILE", "what was planned: lines as on a slate, or a log", LL_ON_REVIEW, "the name of a file, not -", ll_take_plan},
    {"clock", 0, "trust|NAME=SECONDS", "clocks as they are, or what to add to NAME's", LL_ON_REVIEW,
     "trust, or a name and seconds such as Idun=-3600", ll_take_clock},
    {"pair", 0, "A,B", "these two are buddies", LL_ON_REVIEW, "two names with a comma between", ll_take_pair},
    {"lead", 0, "NAME", "who stands outside the students' figures", LL_ON_REVIEW, "the name of a diver", ll_take_lead},
    {"extract", 0, "NAME", "NAME's own share; the others are letters", LL_ON_REVIEW, "the name of a diver", ll_take_extract},
    {"format", 0, "text|json|csv|html", "how the answer is written", LL_ON_ALL | LL_ON_VERIFY,
     "text, json, csv or html", ll_take_format},
    {"output", 'o', "FILE", "write to this file, whole or not at all", LL_ON_ALL | LL_ON_VERIFY,
     "the name of a file", ll_take_output},
    {"units", 0, "metric|imperial", "units of text and page", LL_ON_DEBRIEF | LL_ON_LIST | LL_ON_AUDIT | LL_ON_REVIEW,
     "metric or imperial", ll_take_units},
    {"columns", 0, "NAME,...", "only these columns; no other is computed", LL_ON_REPLAY,
     "names of columns with commas between, such as time_s,depth_m,ceiling_m", ll_take_columns},
    {"tissues", 0, NULL, "the 32 tissue columns too", LL_ON_REPLAY, NULL, ll_take_tissues},
    {"each", 0, NULL, "every log is a history of its own; JSON: a line a log",
     LL_ON_DEBRIEF | LL_ON_LIST | LL_ON_AUDIT, NULL,
     ll_take_each},
    {"diver", 0, "NAME", "only the logs of this owner", LL_ON_ALL & ~LL_ON_REVIEW, "the name of a log's owner", ll_take_diver},
    {"names", 0, "full|initials|letters", "how people appear", LL_ON_DEBRIEF | LL_ON_LIST | LL_ON_AUDIT | LL_ON_REVIEW,
     "full, initials or letters",
     ll_take_names},
    {"fail-on", 0, "caution|serious", "exit 1 if a finding is at least that, or a count not reached",
     LL_ON_DEBRIEF | LL_ON_AUDIT | LL_ON_REVIEW, "caution or serious",
     ll_take_fail_on},
    {"jobs", 0, "N", "logs or dives done at the same time, 1 to 256", LL_ON_ALL | LL_ON_VERIFY,
     "a number from 1 to 256", ll_take_jobs},
    {"help", 0, NULL, "this text; behind a command, what it takes", LL_ON_ALL | LL_ON_VERIFY, NULL, ll_take_help},
    {"version", 0, NULL, "the version", LL_ON_ALL | LL_ON_VERIFY, NULL, ll_take_version},
};
const int ll_options_count = (int)(sizeof ll_option_table / sizeof ll_option_table[0]);
_Static_assert(sizeof ll_option_table / sizeof ll_option_table[0] <= 64, "one bit an option in ll_options.used");

/* The arguments not yet read. */
typedef struct line {
    char *const *next;
    char *const *end;
} line;

static int find_name(const char *name, size_t length)
{
    for (int i = 0; i < ll_options_count; i++)
        if (strlen(ll_option_table[i].name) == length && memcmp(ll_option_table[i].name, name, length) == 0)
            return i;
    return -1;
}

static int find_letter(char letter)
{
    for (int i = 0; i < ll_options_count; i++)
        if (ll_option_table[i].letter == letter)
            return i;
    return -1;
}

/* Takes option `i` with the value glued to it (NULL: none), or the next argument as its value. */
static ll_status take(ll_options *options, int i, const char *glued, line *rest, ll_error *error)
{
    const ll_option *option = &ll_option_table[i];
    options->used |= 1ULL << i;
    if (!option->argument && glued)
        return ll_fail(error, LL_BAD_USAGE, 0, "--%s takes no value", option->name);
    if (option->argument && !glued && rest->next == rest->end)
        return ll_fail(error, LL_BAD_USAGE, 0, "--%s: expected %s", option->name, option->expects);
    const char *value = option->argument && !glued ? *rest->next++ : glued;
    if (!option->take(options, value))
        return ll_fail(error, LL_BAD_USAGE, 0, "--%s %s: expected %s", option->name, value, option->expects);
    return LL_OK;
}

/* --name, --name=value, --name value */
static ll_status take_long(ll_options *options, const char *argument, line *rest, ll_error *error)
{
    const char *name = argument + 2;
    size_t length = strcspn(name, "=");
    int i = find_name(name, length);
    if (i < 0)
        return ll_fail(error, LL_BAD_USAGE, 0, "there is no option --%.*s", (int)(length < 100 ? length : 100), name);
    return take(options, i, name[length] == '=' ? name + length + 1 : NULL, rest, error);
}

/* -o value, -ovalue */
static ll_status take_short(ll_options *options, const char *argument, line *rest, ll_error *error)
{
    int i = find_letter(argument[1]);
    if (i < 0)
        return ll_fail(error, LL_BAD_USAGE, 0, "there is no option %.100s", argument);
    return take(options, i, argument[2] ? argument + 2 : NULL, rest, error);
}

/* The first word is the command, the others are logs. */
static ll_status take_word(ll_options *options, const char *word, ll_error *error)
{
    if (options->command) {
        options->logs[options->log_count++] = word;
        return LL_OK;
    }
    options->command = ll_command_find(word);
    if (!options->command)
        return ll_fail(error, LL_BAD_USAGE, 0, "there is no command '%.100s'", word);
    return LL_OK;
}

static ll_status take_all(ll_options *options, line *rest, ll_error *error)
{
    bool ended = false;
    ll_status status = LL_OK;
    while (status == LL_OK && rest->next < rest->end) {
        const char *argument = *rest->next++;
        if (ended || argument[0] != '-' || argument[1] == '\0')
            status = take_word(options, argument, error);
        else if (strcmp(argument, "--") == 0)
            ended = true;
        else if (argument[1] == '-')
            status = take_long(options, argument, rest, error);
        else
            status = take_short(options, argument, rest, error);
    }
    return status;
}

enum { FORMATS_LISTED = 32 };

/* "text, json or csv" */
static const char *list_formats(unsigned formats, char listed[FORMATS_LISTED])
{
    listed[0] = '\0';
    for (int i = 0; i < LL_FORMATS; i++) {
        if (!(formats & LL_FORMAT(i)))
            continue;
        const char *before = listed[0] == '\0' ? "" : formats >> i == 1 ? " or " : ", ";
        strcat(strcat(listed, before), ll_format_words[i]);
    }
    return listed;
}

/* Every option given goes with the command, and so does the format. */
static ll_status check_fit(const ll_options *options, ll_error *error)
{
    const char *command = options->command->name;
    char formats[FORMATS_LISTED];
    for (int i = 0; i < ll_options_count; i++)
        if (options->used >> i & 1 && !(ll_option_table[i].commands & options->command->bit))
            return ll_fail(error, LL_BAD_USAGE, 0, "--%s does not go with %s", ll_option_table[i].name, command);
    if (!(options->command->formats & LL_FORMAT(options->format)))
        return ll_fail(error, LL_BAD_USAGE, 0, "%s does not write %s; expected %s", command,
                       ll_format_words[options->format], list_formats(options->command->formats, formats));
    if (options->each && options->format == LEADLINE_CSV)
        return ll_fail(error, LL_BAD_USAGE, 0, "--each does not go with csv, whose rows do not name their log");
    if (options->each && options->format == LEADLINE_HTML)
        return ll_fail(error, LL_BAD_USAGE, 0, "--each does not go with html: a page holds one history");
    return LL_OK;
}

static ll_status check_standard(const ll_options *options, ll_error *error)
{
    if (options->command->bit == LL_ON_AUDIT && !options->standard_path)
        return ll_fail(error, LL_BAD_USAGE, 0, "audit: expected --standard FILE, whose entry requirements it answers");
    return LL_OK;
}

static ll_status check_logs(const ll_options *options, ll_error *error)
{
    bool standard_input = false;
    if (options->log_count < 2 && options->command->bit == LL_ON_VERIFY)
        return ll_fail(error, LL_BAD_USAGE, 0, "%s: expected a page and at least one log", options->command->name);
    if (options->log_count == 0)
        return ll_fail(error, LL_BAD_USAGE, 0, "%s: expected at least one log, or - for standard input",
                       options->command->name);
    for (size_t i = 0; i < options->log_count; i++) {
        bool is_standard = strcmp(options->logs[i], "-") == 0;
        if (is_standard && standard_input)
            return ll_fail(error, LL_BAD_USAGE, 0, "standard input can be read only once");
        standard_input = standard_input || is_standard;
    }
    return LL_OK;
}

/* The water of one diver is asked for where there are several. */
static ll_status check_water(const ll_options *options, ll_error *error)
{
    if (options->waters > 0 && options->command->bit != LL_ON_REVIEW)
        return ll_fail(error, LL_BAD_USAGE, 0, "--water NAME=...: only a review has several divers");
    return LL_OK;
}

static ll_status finish(ll_options *options, ll_error *error)
{
    if (options->help || options->version)
        return LL_OK;
    if (!options->command)
        return ll_fail(error, LL_BAD_USAGE, 0, "expected a command");
    if (!options->has_selection)
        options->selection.by = options->command->by;
    if (!options->has_format)
        options->format = options->command->format;
    ll_status status = check_fit(options, error);
    if (status == LL_OK)
        status = check_standard(options, error);
    if (status == LL_OK)
        status = ll_settings_check(&options->settings, error);
    if (status == LL_OK)
        status = check_water(options, error);
    if (status == LL_OK && options->command->bit == LL_ON_REVIEW)
        status = ll_divers_split(options, error);
    if (status == LL_OK)
        status = check_logs(options, error);
    return status;
}

ll_status ll_options_read(ll_options *options, ll_arena *arena, int count, char *const *arguments, ll_error *error)
{
    *options = (ll_options){.jobs = ll_pool_jobs()};
    leadline_settings(&options->settings);
    const size_t most = count > 0 ? (size_t)count : 0;
    options->arena = arena;
    options->logs = ll_arena_array(arena, most, sizeof *options->logs);
    options->clock = ll_arena_array(arena, most, sizeof *options->clock);
    options->water = ll_arena_array(arena, most, sizeof *options->water);
    options->pair = ll_arena_array(arena, most, sizeof *options->pair);
    if (!options->logs || !options->clock || !options->water || !options->pair)
        return ll_fail_memory(error);
    line rest = {arguments, arguments + (count > 0 ? count : 0)};
    ll_status status = take_all(options, &rest, error);
    return status == LL_OK ? finish(options, error) : status;
}
