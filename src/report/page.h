/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running text, in lines of a given width or as paragraphs of HTML. Words are collected first, then set. */
#ifndef LL_REPORT_PAGE_H
#define LL_REPORT_PAGE_H

#include "report/report.h"

typedef struct ll_page {
    ll_text *out;
    const ll_look *look;
    ll_text words; /* of the paragraph being collected: plain blanks between words, no line ends */
    bool markup;   /* HTML */
} ll_page;

void ll_page_open(ll_page *page, ll_text *out, const ll_look *look);
/* Sets paragraphs and headings as HTML; what is painted (`look->colour`) becomes <b>. */
void ll_page_open_markup(ll_page *page, ll_text *out, const ll_look *look);
/* Hands a loss of memory on to the output. */
void ll_page_close(ll_page *page);

/* Wraps the words collected so far to the width, the first line after `first` blanks, the others after `rest`, and
 * begins anew. A figure and its unit stay on one line; a word longer than a line is cut. Nothing without words. As HTML:
 * a paragraph, of class "item" where it would begin after 4 blanks or more. */
void ll_page_end(ll_page *page, int first, int rest);

/* Shows what a scratch text holds among the words, and closes it. */
void ll_page_show(ll_page *page, ll_text *scratch);

/* A line of its own for a heading, after an empty line. */
void ll_page_heading(ll_page *page, const char *heading);

/* Colour is only ever added to words that say the same without it. */
typedef enum ll_paint { LL_PLAIN, LL_BOLD, LL_AMBER, LL_RED } ll_paint;
void ll_paint_add(ll_text *out, const ll_look *look, ll_paint paint, const char *text);
ll_paint ll_severity_paint(ll_severity severity);

#endif
