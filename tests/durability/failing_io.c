/* Stands before the C library and lets one call on a file under a folder go wrong, as the environment says:
 *
 *   FAIL_UNDER  the folder: calls on files in it, and on the folder itself, are counted
 *   FAIL_AT     which of them goes wrong, from 1
 *   FAIL_HOW    eio, enospc   that call fails, all others do what they should
 *               short         a write puts down half of what it was given, and the next call finds the disk full
 *               gone          that call and every later one fails: the disk was pulled out
 *               torn          a write puts down half of what it was given; then the program is killed
 *               list          none fails; FAIL_TOLD is told of every one, a line each
 *   FAIL_TOLD   a file outside that folder, which is told what call went wrong and on what
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define REAL(name, type) ((type)dlsym(RTLD_NEXT, name))

enum { AS_IT_SHOULD, FAILS, HALF_WAY, KILLED };

static long counted;

static void tell(const char *call, const char *path)
{
    char line[PATH_MAX + 64];
    int length = snprintf(line, sizeof line, "%s %s\n", call, path);
    int (*really_open)(const char *, int, ...) = REAL("open", int (*)(const char *, int, ...));
    ssize_t (*really_write)(int, const void *, size_t) = REAL("write", ssize_t(*)(int, const void *, size_t));
    int file = really_open(getenv("FAIL_TOLD"), O_WRONLY | O_CREAT | O_APPEND, 0600);
    if (file < 0 || really_write(file, line, (size_t)length) != length)
        abort();
    close(file);
}

/* What becomes of a call; for FAILS, errno is set. */
static int fate(const char *call, const char *path)
{
    const char *under = getenv("FAIL_UNDER"), *at = getenv("FAIL_AT"), *how = getenv("FAIL_HOW");
    if (!under || !at || !how || strncmp(path, under, strlen(under)) != 0)
        return AS_IT_SHOULD;
    long first = atol(at);
    counted++;
    int list = strcmp(how, "list") == 0;
    if (list || counted == first)
        tell(call, path);
    if (list)
        return AS_IT_SHOULD;
    int full = strcmp(how, "enospc") == 0 || strcmp(how, "short") == 0;
    errno = full ? ENOSPC : EIO;
    if (strcmp(how, "gone") == 0)
        return counted >= first ? FAILS : AS_IT_SHOULD;
    if (strcmp(how, "short") == 0)
        return counted == first ? HALF_WAY : counted == first + 1 ? FAILS : AS_IT_SHOULD;
    if (counted != first)
        return AS_IT_SHOULD;
    return strcmp(how, "torn") == 0 ? KILLED : FAILS;
}

static int fate_of_open_file(const char *call, int file)
{
    char link[64], path[PATH_MAX];
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    ssize_t length = readlink(link, path, sizeof path - 1);
    path[length < 0 ? 0 : length] = 0;
    return fate(call, path);
}

static void die(void)
{
    kill(getpid(), SIGKILL);
    pause();
}

/* Calls that either happen or do not. */
#define WHOLE(fated, really)      \
    switch (fated) {              \
    case FAILS: return -1;        \
    case KILLED: die();           \
    }                             \
    return really

/* Calls that may happen by half. */
#define BY_HALF(fated, really)                       \
    switch (fated) {                                 \
    case FAILS: return -1;                           \
    case HALF_WAY: bytes = (bytes + 1) / 2; break;   \
    case KILLED: bytes /= 2; (void)!(really); die(); \
    }                                                \
    return really

ssize_t write(int file, const void *from, size_t bytes)
{
    ssize_t (*really)(int, const void *, size_t) = REAL("write", ssize_t(*)(int, const void *, size_t));
    BY_HALF(fate_of_open_file("write", file), really(file, from, bytes));
}

ssize_t pwrite(int file, const void *from, size_t bytes, off_t at)
{
    ssize_t (*really)(int, const void *, size_t, off_t) =
        REAL("pwrite", ssize_t(*)(int, const void *, size_t, off_t));
    BY_HALF(fate_of_open_file("write", file), really(file, from, bytes, at));
}

ssize_t pwrite64(int file, const void *from, size_t bytes, off64_t at)
{
    ssize_t (*really)(int, const void *, size_t, off64_t) =
        REAL("pwrite64", ssize_t(*)(int, const void *, size_t, off64_t));
    BY_HALF(fate_of_open_file("write", file), really(file, from, bytes, at));
}

int fsync(int file)
{
    WHOLE(fate_of_open_file("sync", file), REAL("fsync", int (*)(int))(file));
}

int fdatasync(int file)
{
    WHOLE(fate_of_open_file("sync", file), REAL("fdatasync", int (*)(int))(file));
}

int ftruncate(int file, off_t bytes)
{
    WHOLE(fate_of_open_file("truncate", file), REAL("ftruncate", int (*)(int, off_t))(file, bytes));
}

int ftruncate64(int file, off64_t bytes)
{
    WHOLE(fate_of_open_file("truncate", file), REAL("ftruncate64", int (*)(int, off64_t))(file, bytes));
}

int unlink(const char *path)
{
    WHOLE(fate("unlink", path), REAL("unlink", int (*)(const char *))(path));
}

int rename(const char *from, const char *to)
{
    WHOLE(fate("rename", from), REAL("rename", int (*)(const char *, const char *))(from, to));
}

int mkdir(const char *path, mode_t mode)
{
    WHOLE(fate("mkdir", path), REAL("mkdir", int (*)(const char *, mode_t))(path, mode));
}

/* Only opening that may make a file is counted: it is what a full disk refuses. */
#define OPEN(name)                                                                        \
    int name(const char *path, int flags, ...)                                            \
    {                                                                                     \
        va_list rest;                                                                     \
        va_start(rest, flags);                                                            \
        mode_t mode = flags & O_CREAT ? va_arg(rest, mode_t) : 0;                         \
        va_end(rest);                                                                     \
        WHOLE(flags & O_CREAT ? fate("create", path) : AS_IT_SHOULD,                      \
              REAL(#name, int (*)(const char *, int, ...))(path, flags, mode));           \
    }
OPEN(open)
OPEN(open64)
