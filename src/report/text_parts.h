/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of a text debrief, each a few lines on the page. */
#ifndef LL_REPORT_TEXT_PARTS_H
#define LL_REPORT_TEXT_PARTS_H

#include "report/page.h"

/* The words of a title, collected: who, where, when. */
void ll_title_words(ll_page *page, const ll_debrief *debrief);

/* Title and summary: who, where, when, how long, how deep, what was breathed. */
void ll_text_title(ll_page *page, const ll_debrief *debrief);
void ll_text_summary(ll_page *page, const ll_debrief *debrief);

/* What was owed at the start of the ascent, and what was kept; the first two sentences of it, collected. */
void ll_asked_words(ll_page *page, const ll_debrief *debrief);
void ll_taken_words(ll_page *page, const ll_debrief *debrief);
void ll_text_owed(ll_page *page, const ll_debrief *debrief);

/* Behind what was said: how far the record lets it be said. */
void ll_text_reach(ll_page *page, const ll_debrief *debrief);

/* One line: how many findings of each class. */
void ll_text_short(ll_page *page, const ll_debrief *debrief);

/* Whether a finding stands against recorder error, behind its sentence. */
void ll_text_firm(ll_page *page, const ll_debrief *debrief, const ll_finding *finding);
/* "95 to 100 %", "28 %" where both ends round to the same, collected. */
void ll_percent_range(ll_page *page, const ll_range *range);
/* What firm and marginal mean, where there are findings; the ranges of figures. */
void ll_text_firm_meaning(ll_page *page, const ll_debrief *debrief);

/* Findings by class, with the limits they are held against. */
void ll_text_classes(ll_page *page, const ll_debrief *debrief);

/* The limits of the kinds that were not found, which the classes leave out. */
void ll_text_other_limits(ll_page *page, const ll_debrief *debrief);

/* Collects the sentences on what was kept of a class; nothing where nothing can be said. */
void ll_text_kept(ll_page *page, const ll_debrief *debrief, ll_class class);

/* Peaks and doses, a line each. */
void ll_text_peaks(ll_page *page, const ll_debrief *debrief);
void ll_text_doses(ll_page *page, const ll_debrief *debrief);

/* What each tank gave, what was left when, and the margin afterwards; nothing where the log knows no tank. */
void ll_text_gas(ll_page *page, const ll_debrief *debrief);

/* What the recorder itself said, its own stops first; nothing where it said nothing. */
void ll_text_word(ll_page *page, const ll_debrief *debrief);

/* What other factors and other models would have asked for; nothing where what was owed is not known. */
void ll_text_models(ll_page *page, const ll_debrief *debrief);

/* Depth and ceiling against run time, in plain characters. */
void ll_text_picture(ll_page *page, const ll_debrief *debrief);

/* Notes as lines: losses first, then doubts, then remarks. */
void ll_text_notes(ll_page *page, const ll_history *history, const ll_notes *notes);

/* Notes on the files and on the history as a whole, with a heading; nothing where there are none. */
void ll_text_log_notes(ll_page *page, const ll_history *history);

/* What the replay was told, and the file it was told of. */
void ll_text_settings(ll_page *page, const ll_debrief *debrief);
/* Of a whole history: what is left to each log is said to be. */
void ll_text_history_settings(ll_page *page, const ll_settings *settings);
void ll_text_file(ll_page *page, const ll_log *log);

/* The caution that stands first; the others. */
void ll_text_first_caution(ll_page *page);
void ll_text_cautions(ll_page *page);

#endif
