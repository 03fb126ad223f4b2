/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/svg.h"

#include <math.h>

#include "report/html.h"

void ll_svg_percent(ll_text *out, const char *name, double percent)
{
    ll_text_format(out, " %s=\"", name);
    ll_html_number(out, round(percent * 100) / 100);
    ll_text_puts(out, "%\"");
}

static void add_px(ll_text *out, const char *name, double px)
{
    ll_html_attribute_number(out, name, round(px * 10) / 10);
}

static void add_class(ll_text *out, const char *class)
{
    if (class)
        ll_html_attribute(out, "class", class);
}

void ll_svg_line(ll_text *out, const char *class, double x1_percent, double x2_percent, double y1_px, double y2_px)
{
    ll_text_puts(out, "<line");
    add_class(out, class);
    ll_svg_percent(out, "x1", x1_percent);
    ll_svg_percent(out, "x2", x2_percent);
    add_px(out, "y1", y1_px);
    add_px(out, "y2", y2_px);
    ll_text_puts(out, "/>");
}

void ll_svg_text_open(ll_text *out, const char *class, double x_percent, double y_px, const char *anchor)
{
    ll_text_puts(out, "<text");
    add_class(out, class);
    ll_svg_percent(out, "x", x_percent);
    add_px(out, "y", y_px);
    ll_text_format(out, " text-anchor=\"%s\">", anchor);
}

void ll_svg_text_close(ll_text *out)
{
    ll_text_puts(out, "</text>");
}

/* A place of its own, with pixels around it. */
static void open_mark(ll_text *out, const char *class, double x_percent, double y_px)
{
    ll_text_format(out, "<svg class=\"%s\" overflow=\"visible\"", class);
    ll_svg_percent(out, "x", x_percent);
    add_px(out, "y", y_px);
    ll_text_putc(out, '>');
}

void ll_svg_letter(ll_text *out, double x_percent, double y_px, const char *letter)
{
    open_mark(out, "letter", x_percent, y_px);
    ll_text_format(out, "<circle r=\"7.5\"/><text y=\"4\" text-anchor=\"middle\">%s</text></svg>", letter);
}

double ll_svg_number_half_px(unsigned number, bool marginal)
{
    double half_px = marginal ? 12 : 8;
    for (unsigned rest = number / 10; rest > 0; rest /= 10)
        half_px += 2.5;
    return half_px;
}

void ll_svg_number(ll_text *out, double x_percent, double y_px, unsigned number, bool marginal)
{
    const double half_px = ll_svg_number_half_px(number, marginal);
    open_mark(out, marginal ? "number marginal" : "number", x_percent, y_px);
    ll_text_puts(out, "<rect y=\"-8\" height=\"16\"");
    add_px(out, "x", -half_px);
    add_px(out, "width", 2 * half_px);
    ll_text_puts(out, "/><text y=\"4\" text-anchor=\"middle\">");
    ll_text_format(out, marginal ? "(%u)</text></svg>" : "%u</text></svg>", number);
}
