/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs a target over files and over the files of folders, for compilers without libFuzzer: replay PATH... */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "target.h"

static size_t done;

static void run_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    fuzz_check(file != NULL, path);
    fseek(file, 0, SEEK_END);
    const long size = ftell(file);
    rewind(file);
    /* as much as there is and no byte more, so that a sanitizer sees what lies behind */
    uint8_t *bytes = malloc(size > 0 ? (size_t)size : 1);
    fuzz_check(bytes && fread(bytes, 1, (size_t)size, file) == (size_t)size, path);
    fclose(file);
    LLVMFuzzerTestOneInput(bytes, (size_t)size);
    free(bytes);
    done++;
}

static void run(const char *path)
{
    struct stat facts;
    fuzz_check(stat(path, &facts) == 0, path);
    if (!S_ISDIR(facts.st_mode)) {
        run_file(path);
        return;
    }
    DIR *folder = opendir(path);
    fuzz_check(folder != NULL, path);
    for (struct dirent *entry = readdir(folder); entry; entry = readdir(folder)) {
        char below[4096];
        if (entry->d_name[0] == '.')
            continue;
        snprintf(below, sizeof below, "%s/%s", path, entry->d_name);
        run(below);
    }
    closedir(folder);
}

int main(int count, char **paths)
{
    for (int i = 1; i < count; i++)
        run(paths[i]);
    printf("%zu inputs\n", done);
    return done == 0;
}
