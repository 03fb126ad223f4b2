/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pieces of SVG that keep their place at any width: x in percent of it, y in pixels. */
#ifndef LL_REPORT_SVG_H
#define LL_REPORT_SVG_H

#include <stdbool.h>

#include "base/text.h"

/* An attribute ` name="12.5%"`. */
void ll_svg_percent(ll_text *out, const char *name, double percent);

/* `class` may be NULL. */
void ll_svg_line(ll_text *out, const char *class, double x1_percent, double x2_percent, double y1_px, double y2_px);

/* A text begins; it hangs on its start, its middle or its end. */
void ll_svg_text_open(ll_text *out, const char *class, double x_percent, double y_px, const char *anchor);
void ll_svg_text_close(ll_text *out);

/* A letter in a circle. */
void ll_svg_letter(ll_text *out, double x_percent, double y_px, const char *letter);

/* Half the width of a number's square. */
double ll_svg_number_half_px(unsigned number, bool marginal);

/* A number in a square; of something marginal in brackets, and the square dashed. */
void ll_svg_number(ll_text *out, double x_percent, double y_px, unsigned number, bool marginal);

#endif
