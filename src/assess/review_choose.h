/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which dive of the first log is the shared one; used by the files of the review only. */
#ifndef LL_ASSESS_REVIEW_CHOOSE_H
#define LL_ASSESS_REVIEW_CHOOSE_H

#include "assess/review_pairs.h"

/* The shared dive among the first log's entries: that for which most divers' dives speak, of those that agree alike the
 * latest; SIZE_MAX: the log has no dive that can be compared, of those asked for. Errors as of ll_pair_learn. */
ll_status ll_review_choose(ll_pairs *pairs, size_t *first, ll_error *error);

#endif
