/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small tables: expected lines are set by hand from the widths of the cells. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "report/grid.h"

static const char *const *cells; /* row by row */
static size_t cells_a_row;

static void put_cell(ll_page *page, const void *context, size_t row, size_t column)
{
    assert_ptr_equal(context, &cells);
    ll_text_puts(&page->words, cells[row * cells_a_row + column]);
}

/* The grid as text, to be freed by ll_text_close. */
static const char *set(ll_text *out, const char *const *given, size_t rows, size_t columns, int width, bool markup)
{
    const ll_look look = {.width = width};
    const ll_grid grid = {rows, columns, "cells", put_cell, &cells};
    ll_page page;
    cells = given;
    cells_a_row = columns;
    ll_text_open(out, NULL, NULL, NULL);
    if (markup)
        ll_page_open_markup(&page, out, &look);
    else
        ll_page_open(&page, out, &look);
    ll_grid_set(&page, &grid);
    ll_page_close(&page);
    return ll_text_string(out);
}

static void assert_set(const char *const *given, size_t rows, size_t columns, int width, const char *expected)
{
    ll_text out;
    assert_string_equal(set(&out, given, rows, columns, width, false), expected);
    ll_text_close(&out);
}

static void columns_are_as_wide_as_their_widest_cell(void **state)
{
    (void)state;
    static const char *const given[] = {"", "Ylva", "Bo", "run time", "47:00", "1:02:00"};
    assert_set(given, 2, 3, 80, "            Ylva   Bo\n"
                                "  run time  47:00  1:02:00\n");
}

/* 2 + 8 + 2 + 10 + 2 + 10 = 34 fit into 40; one more of 10 does not (46). */
static void a_narrow_page_has_blocks(void **state)
{
    (void)state;
    static const char *const given[] = {"row-head", "aaaaaaaaaa", "bbbbbbbbbb", "cccccccccc", "last one", "1", "2", "3"};
    static const char blocks[] = "  row-head  aaaaaaaaaa  bbbbbbbbbb\n"
                                 "  last one  1           2\n"
                                 "\n"
                                 "  row-head  cccccccccc\n"
                                 "  last one  3\n";
    assert_set(given, 2, 4, 40, blocks);
    assert_set(given, 2, 4, 45, blocks);
    assert_set(given, 2, 4, 10, blocks); /* no narrower than 40 */
    assert_set(given, 2, 4, 46, "  row-head  aaaaaaaaaa  bbbbbbbbbb  cccccccccc\n"
                                "  last one  1           2           3\n");
}

/* The head and one column stand even where they are wider than the page. */
static void a_block_has_one_column_at_least(void **state)
{
    (void)state;
    static const char *const given[] = {"abcdefghijklmnopqrstuvwx", "abcdefghijklmnopqrst", "z"};
    assert_set(given, 1, 3, 40, "  abcdefghijklmnopqrstuvwx  abcdefghijklmnopqrst\n"
                                "\n"
                                "  abcdefghijklmnopqrstuvwx  z\n");
}

/* 30 columns are the most. */
static void long_cells_are_cut(void **state)
{
    (void)state;
    static const char *const given[] = {"h", "abcdefghijklmnopqrstuvwxyz1234!", "n", "i", "1", "2"};
    assert_set(given, 2, 3, 80, "  h  abcdefghijklmnopqrstuvwxyz1234  n\n"
                                "  i  1                               2\n");
}

static void empty_cells_keep_their_place(void **state)
{
    (void)state;
    static const char *const given[] = {"", "a", "bb", "c", "", "d", "e", "f", ""};
    assert_set(given, 3, 3, 80, "     a  bb\n"
                                "  c     d\n"
                                "  e  f  \n");
}

/* Widths are columns, not bytes: a dash of three bytes is one, a wide character two, a combining mark none. */
static void characters_are_counted_not_bytes(void **state)
{
    (void)state;
    static const char *const given[] = {"", "\xC3\x85sa", "x", "r", "\xE2\x80\x93", "y",
                                        "s", "\xE6\xB7\xB1\xE6\xB7\xB1", "z", "t", "e\xCC\x81", "w"};
    assert_set(given, 4, 3, 80, "     \xC3\x85sa   x\n"
                                "  r  \xE2\x80\x93     y\n"
                                "  s  \xE6\xB7\xB1\xE6\xB7\xB1  z\n"
                                "  t  e\xCC\x81     w\n");
}

/* A character is never cut in two: 29 letters and a wide one do not fit into 30. */
static void a_wide_character_is_not_halved(void **state)
{
    (void)state;
    static const char *const given[] = {"h", "abcdefghijklmnopqrstuvwxy1234\xE6\xB7\xB1", "n"};
    assert_set(given, 1, 3, 80, "  h  abcdefghijklmnopqrstuvwxy1234   n\n");
}

static void markup_is_a_table_with_headings(void **state)
{
    (void)state;
    static const char *const given[] = {"", "Ylva", "run", "47"};
    ll_text out;
    assert_string_equal(set(&out, given, 2, 2, 80, true),
                        "<div class=\"wide\"><table class=\"cells\"><thead><tr><th scope=\"col\"></th>"
                        "<th scope=\"col\"><p>Ylva</p>\n</th></tr></thead><tbody>\n"
                        "<tr><th scope=\"row\"><p>run</p>\n</th><td><p>47</p>\n</td></tr>\n"
                        "</tbody></table></div>\n");
    ll_text_close(&out);
}

/* Markup in a cell is text, and nothing of it is cut. */
static void markup_escapes(void **state)
{
    (void)state;
    static const char *const given[] = {"<b>", "a & \"b\" and so on, longer than any column of text",
                                        "</td>", "\xC3\x85'"};
    ll_text out;
    const char *text = set(&out, given, 2, 2, 40, true);
    assert_non_null(strstr(text, "<th scope=\"col\"><p>&lt;b&gt;</p>"));
    assert_non_null(strstr(text, "<th scope=\"row\"><p>&lt;/td&gt;</p>"));
    assert_non_null(strstr(text, "a &amp; "));
    assert_non_null(strstr(text, " and so on, longer than any column of text</p>"));
    assert_non_null(strstr(text, "\xC3\x85"));
    assert_null(strstr(text, "<b>"));
    assert_null(strstr(text, "& "));
    ll_text_close(&out);
}

static void a_lack_of_memory_is_known(void **state)
{
    (void)state;
    static const char *const given[] = {"", "Ylva", "run", "47"};
    const ll_grid grid = {2, 2, "cells", put_cell, &cells};
    const ll_look look = {.width = 80};
    bool whole = false;
    size_t refused = 0;
    for (size_t refuse_from = 1; !whole; refuse_from++) {
        test_heap heap;
        ll_text out;
        ll_page page;
        cells = given;
        cells_a_row = 2;
        test_heap_open(&heap, refuse_from);
        ll_text_open(&out, &heap.allocator, NULL, NULL);
        ll_page_open(&page, &out, &look);
        ll_grid_set(&page, &grid);
        ll_page_close(&page);
        whole = ll_text_flush(&out);
        ll_text_close(&out);
        assert_int_equal(whole, heap.calls < refuse_from);
        assert_int_equal(heap.live, 0);
        refused += !whole;
    }
    assert_true(refused > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(columns_are_as_wide_as_their_widest_cell), cmocka_unit_test(a_narrow_page_has_blocks),
        cmocka_unit_test(a_block_has_one_column_at_least), cmocka_unit_test(long_cells_are_cut),
        cmocka_unit_test(empty_cells_keep_their_place), cmocka_unit_test(characters_are_counted_not_bytes),
        cmocka_unit_test(a_wide_character_is_not_halved), cmocka_unit_test(markup_is_a_table_with_headings),
        cmocka_unit_test(markup_escapes), cmocka_unit_test(a_lack_of_memory_is_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
