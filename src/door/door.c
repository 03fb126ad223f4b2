/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The door: a whole run is a handful of calls in a row. Read, merge and advance (here), then for each dive asked for:
 * replay, find, assess, render (render.c, rows.c). */
#include <leadline/leadline.h>

#include "base/settings.h"
#include "replay/history.h"
#include "report/words.h"
#include "standard/standard.h"

const char *leadline_version(void)
{
    return ll_version;
}

void leadline_settings(ll_settings *settings)
{
    ll_settings_built_in(settings);
}

ll_status leadline_log_read(const char *name, leadline_read read, void *context, ll_log **log, ll_error *error)
{
    return ll_log_read(name, read, context, NULL, NULL, log, error);
}

ll_status leadline_log_read_hashed(const char *name, leadline_read read, leadline_hash hash, void *context,
                                   ll_log **log, ll_error *error)
{
    return ll_log_read_by(name, read, hash, context, NULL, NULL, NULL, log, error);
}

ll_status leadline_log_read_by(const char *name, leadline_read read, leadline_hash hash, void *context,
                               const ll_crew *crew, ll_log **log, ll_error *error)
{
    return ll_log_read_by(name, read, hash, context, crew, NULL, NULL, log, error);
}

void leadline_log_free(ll_log *log)
{
    ll_log_free(log);
}

const char *leadline_log_owner(const ll_log *log)
{
    return log->owner;
}

size_t leadline_log_dives(const ll_log *log)
{
    return log->dives;
}

ll_status leadline_standard_read(const char *name, leadline_read read, void *context, ll_standard **standard,
                                 ll_error *error)
{
    return ll_standard_read(name, read, context, NULL, standard, error);
}

void leadline_standard_free(ll_standard *standard)
{
    ll_standard_free(standard);
}

const char *leadline_standard_name(const ll_standard *standard)
{
    return standard->name;
}

void leadline_standard_apply(const ll_standard *standard, ll_settings *settings)
{
    ll_standard_apply(standard, settings, NULL);
}

ll_status leadline_merge(ll_log *const *logs, size_t count, const ll_settings *settings, const char *diver,
                         ll_history **history, ll_error *error)
{
    return ll_history_make((const ll_log *const *)logs, count, settings, diver, NULL, NULL, history, error);
}

void leadline_history_free(ll_history *history)
{
    ll_history_free(history);
}

size_t leadline_history_dives(const ll_history *history)
{
    return history->count;
}
