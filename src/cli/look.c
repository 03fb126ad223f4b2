/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/look.h"

#include "cli/output.h"
#include "cli/pool.h"
#include "cli/terminal.h"

leadline_output ll_look(const ll_options *options, leadline_write write, void *context)
{
    bool on_standard = ll_output_is_standard(options->output);
    return (leadline_output){
        .format = options->format,
        .width = ll_terminal_width(on_standard),
        .colour = on_standard && ll_terminal_colour(),
        .imperial = options->imperial,
        .names = options->names,
        .standard = options->standard,
        .columns = options->columns,
        .tissues = options->tissues,
        .one_line = options->each,
        .write = write,
        .context = context,
        .crew = ll_pool_crew(options->each ? 1 : options->jobs), /* with --each a log is a job */
    };
}

const char *ll_look_output_name(const ll_options *options)
{
    return ll_output_is_standard(options->output) ? "standard output" : options->output;
}
