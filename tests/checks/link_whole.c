/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Links one layer whole, with the layers below it and no others: a call upwards is a name that no one defines. */
int main(void)
{
    return 0;
}
