/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Style and script of a page, as page/embed.py writes them at build time. */
#ifndef LL_REPORT_PAGE_BYTES_H
#define LL_REPORT_PAGE_BYTES_H

extern const char ll_page_style[], ll_page_script[];
/* "sha256-..." as a content-security policy names them. */
extern const char ll_page_style_hash[], ll_page_script_hash[];

#endif
