/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each option does with its value: the last column of the table of options.
 * Each returns false if the value makes no sense; ranges of settings are checked once, in ll_options_read. */
#ifndef LL_CLI_VALUES_H
#define LL_CLI_VALUES_H

#include "cli/options.h"

bool ll_take_dive(ll_options *options, const char *value);
bool ll_take_gf(ll_options *options, const char *value);
bool ll_take_model(ll_options *options, const char *value);
bool ll_take_water(ll_options *options, const char *value);
bool ll_take_surface(ll_options *options, const char *value);
bool ll_take_last_stop(ll_options *options, const char *value);
bool ll_take_narcotic_oxygen(ll_options *options, const char *value);
bool ll_take_firm(ll_options *options, const char *value);
bool ll_take_rmv(ll_options *options, const char *value);
bool ll_take_assume_air(ll_options *options, const char *value);
bool ll_take_standard(ll_options *options, const char *value);
bool ll_take_as_of(ll_options *options, const char *value);
bool ll_take_plan(ll_options *options, const char *value);
bool ll_take_clock(ll_options *options, const char *value);
bool ll_take_pair(ll_options *options, const char *value);
bool ll_take_lead(ll_options *options, const char *value);
bool ll_take_extract(ll_options *options, const char *value);
bool ll_take_format(ll_options *options, const char *value);
bool ll_take_output(ll_options *options, const char *value);
bool ll_take_units(ll_options *options, const char *value);
bool ll_take_columns(ll_options *options, const char *value);
bool ll_take_tissues(ll_options *options, const char *value);
bool ll_take_each(ll_options *options, const char *value);
bool ll_take_diver(ll_options *options, const char *value);
bool ll_take_names(ll_options *options, const char *value);
bool ll_take_fail_on(ll_options *options, const char *value);
bool ll_take_jobs(ll_options *options, const char *value);
bool ll_take_help(ll_options *options, const char *value);
bool ll_take_version(ll_options *options, const char *value);

#endif
