/* Stands before the C library and lets one call on a file under a folder go wrong, as the environment says:
 *
 *   FAIL_UNDER  the folder: calls on files in it, and on the folder itself, are counted
 *   FAIL_ON     writes        counted are calls that write, bring to the disk, make, name, rename or remove
 *               reads         counted are calls that open what is there and read it
 *               linkless      as writes, where no file can have two names, as on a stick
 *   FAIL_AT     which of them goes wrong, from 1
 *   FAIL_HOW    eio, enospc   that call fails, all others do what they should
 *               short         a write puts down half of what it was given, and the next call finds the disk full
 *               gone          that call and every later one fails: the disk was pulled out
 *               torn          a write puts down half of what it was given; then the program is killed
 *               killed        the program is killed before the call
 *               list          none fails; FAIL_TOLD is told of every one, a line each
 *   FAIL_TOLD   a file outside that folder, which is told what call went wrong and on what
 */
#define _GNU_SOURCE
#include <dirent.h>
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
#include <sys/uio.h>
#include <unistd.h>

#define REAL(name, type) ((type)dlsym(RTLD_NEXT, name))

enum { AS_IT_SHOULD, FAILS, HALF_WAY, TORN, KILLED };
enum { WRITES, READS };

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

/* Whether calls of that kind are counted at all. */
static int is_counted(int kind)
{
    static int on = -1;
    if (on < 0) {
        const char *said = getenv("FAIL_ON");
        on = !said ? READS + 1 : strcmp(said, "reads") == 0 ? READS : WRITES;
    }
    return on == kind;
}

/* What becomes of a call on a whole path; for FAILS, errno is set. */
static int fate(int kind, const char *call, const char *path)
{
    const char *under = getenv("FAIL_UNDER"), *at = getenv("FAIL_AT"), *how = getenv("FAIL_HOW");
    if (!is_counted(kind) || !under || !at || !how || strncmp(path, under, strlen(under)) != 0)
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
    return strcmp(how, "torn") == 0 ? TORN : strcmp(how, "killed") == 0 ? KILLED : FAILS;
}

static void path_of(int file, char *path)
{
    char link[64];
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    ssize_t length = readlink(link, path, PATH_MAX - 1);
    path[length < 0 ? 0 : length] = 0;
}

static int fate_of_open_file(int kind, const char *call, int file)
{
    char path[PATH_MAX];
    if (!is_counted(kind))
        return AS_IT_SHOULD;
    path_of(file, path);
    return fate(kind, call, path);
}

/* A path as it was given: from the folder that is open as `folder`, or the one the program was started in. */
static int fate_from(int folder, int kind, const char *call, const char *given)
{
    char path[PATH_MAX], whole[2 * PATH_MAX];
    if (!is_counted(kind))
        return AS_IT_SHOULD;
    if (given[0] == '/')
        return fate(kind, call, given);
    if (folder != AT_FDCWD)
        path_of(folder, path);
    else if (!getcwd(path, sizeof path))
        return AS_IT_SHOULD;
    snprintf(whole, sizeof whole, "%s/%s", path, given);
    return fate(kind, call, whole);
}

static _Noreturn void die(void)
{
    kill(getpid(), SIGKILL);
    for (;;)
        pause();
}

/* Calls that either happen or do not. */
#define WHOLE_OR(failed, fated, really)   \
    switch (fated) {                      \
    case FAILS: return failed;            \
    case TORN: case KILLED: die();        \
    }                                     \
    return really
#define WHOLE(fated, really) WHOLE_OR(-1, fated, really)

/* Calls that may happen by half. */
#define BY_HALF(fated, really)                     \
    switch (fated) {                               \
    case FAILS: return -1;                         \
    case HALF_WAY: bytes = (bytes + 1) / 2; break; \
    case TORN: bytes /= 2; (void)!(really); die(); \
    case KILLED: die();                            \
    }                                              \
    return really

ssize_t write(int file, const void *from, size_t bytes)
{
    ssize_t (*really)(int, const void *, size_t) = REAL("write", ssize_t(*)(int, const void *, size_t));
    BY_HALF(fate_of_open_file(WRITES, "write", file), really(file, from, bytes));
}

ssize_t pwrite(int file, const void *from, size_t bytes, off_t at)
{
    ssize_t (*really)(int, const void *, size_t, off_t) =
        REAL("pwrite", ssize_t(*)(int, const void *, size_t, off_t));
    BY_HALF(fate_of_open_file(WRITES, "write", file), really(file, from, bytes, at));
}

ssize_t pwrite64(int file, const void *from, size_t bytes, off64_t at)
{
    ssize_t (*really)(int, const void *, size_t, off64_t) =
        REAL("pwrite64", ssize_t(*)(int, const void *, size_t, off64_t));
    BY_HALF(fate_of_open_file(WRITES, "write", file), really(file, from, bytes, at));
}

ssize_t copy_file_range(int from, off64_t *from_at, int to, off64_t *to_at, size_t bytes, unsigned flags)
{
    ssize_t (*really)(int, off64_t *, int, off64_t *, size_t, unsigned) =
        REAL("copy_file_range", ssize_t(*)(int, off64_t *, int, off64_t *, size_t, unsigned));
    BY_HALF(fate_of_open_file(WRITES, "write", to), really(from, from_at, to, to_at, bytes, flags));
}

ssize_t sendfile64(int to, int from, off64_t *at, size_t bytes)
{
    ssize_t (*really)(int, int, off64_t *, size_t) = REAL("sendfile64", ssize_t(*)(int, int, off64_t *, size_t));
    BY_HALF(fate_of_open_file(WRITES, "write", to), really(to, from, at, bytes));
}

ssize_t writev(int file, const struct iovec *pieces, int count)
{
    WHOLE(fate_of_open_file(WRITES, "write", file),
          REAL("writev", ssize_t(*)(int, const struct iovec *, int))(file, pieces, count));
}

int fsync(int file)
{
    WHOLE(fate_of_open_file(WRITES, "sync", file), REAL("fsync", int (*)(int))(file));
}

int fdatasync(int file)
{
    WHOLE(fate_of_open_file(WRITES, "sync", file), REAL("fdatasync", int (*)(int))(file));
}

int ftruncate(int file, off_t bytes)
{
    WHOLE(fate_of_open_file(WRITES, "truncate", file), REAL("ftruncate", int (*)(int, off_t))(file, bytes));
}

int ftruncate64(int file, off64_t bytes)
{
    WHOLE(fate_of_open_file(WRITES, "truncate", file), REAL("ftruncate64", int (*)(int, off64_t))(file, bytes));
}

int chmod(const char *path, mode_t mode)
{
    WHOLE(fate_from(AT_FDCWD, WRITES, "chmod", path), REAL("chmod", int (*)(const char *, mode_t))(path, mode));
}

int unlink(const char *path)
{
    WHOLE(fate_from(AT_FDCWD, WRITES, "unlink", path), REAL("unlink", int (*)(const char *))(path));
}

int unlinkat(int folder, const char *path, int flags)
{
    WHOLE(fate_from(folder, WRITES, "unlink", path),
          REAL("unlinkat", int (*)(int, const char *, int))(folder, path, flags));
}

int rmdir(const char *path)
{
    WHOLE(fate_from(AT_FDCWD, WRITES, "unlink", path), REAL("rmdir", int (*)(const char *))(path));
}

int rename(const char *from, const char *to)
{
    WHOLE(fate_from(AT_FDCWD, WRITES, "rename", from),
          REAL("rename", int (*)(const char *, const char *))(from, to));
}

int renameat2(int from_folder, const char *from, int to_folder, const char *to, unsigned flags)
{
    WHOLE(fate_from(from_folder, WRITES, "rename", from),
          REAL("renameat2", int (*)(int, const char *, int, const char *, unsigned))(
              from_folder, from, to_folder, to, flags));
}

/* Whether this is a disk on which a file has one name only; then errno is set. */
static int is_linkless(void)
{
    const char *on = getenv("FAIL_ON");
    errno = EPERM;
    return on && strcmp(on, "linkless") == 0;
}

int link(const char *from, const char *to)
{
    if (is_linkless())
        return -1;
    WHOLE(fate_from(AT_FDCWD, WRITES, "link", to), REAL("link", int (*)(const char *, const char *))(from, to));
}

int linkat(int from_folder, const char *from, int to_folder, const char *to, int flags)
{
    if (is_linkless())
        return -1;
    WHOLE(fate_from(to_folder, WRITES, "link", to),
          REAL("linkat", int (*)(int, const char *, int, const char *, int))(
              from_folder, from, to_folder, to, flags));
}

int mkdir(const char *path, mode_t mode)
{
    WHOLE(fate_from(AT_FDCWD, WRITES, "mkdir", path), REAL("mkdir", int (*)(const char *, mode_t))(path, mode));
}

/* Opening that may make a file is what a full disk refuses. */
#define OPEN_FROM(name, folder, parameters, arguments)                                          \
    int name parameters                                                                         \
    {                                                                                           \
        va_list rest;                                                                           \
        va_start(rest, flags);                                                                  \
        mode_t mode = flags & O_CREAT ? va_arg(rest, mode_t) : 0;                               \
        va_end(rest);                                                                           \
        WHOLE(flags & O_CREAT ? fate_from(folder, WRITES, "create", path)                       \
                              : fate_from(folder, READS, "open", path),                         \
              REAL(#name, int (*) parameters) arguments);                                       \
    }
OPEN_FROM(open, AT_FDCWD, (const char *path, int flags, ...), (path, flags, mode))
OPEN_FROM(open64, AT_FDCWD, (const char *path, int flags, ...), (path, flags, mode))
OPEN_FROM(openat, folder, (int folder, const char *path, int flags, ...), (folder, path, flags, mode))
OPEN_FROM(openat64, folder, (int folder, const char *path, int flags, ...), (folder, path, flags, mode))

DIR *opendir(const char *path)
{
    WHOLE_OR(NULL, fate_from(AT_FDCWD, READS, "open", path), REAL("opendir", DIR * (*)(const char *))(path));
}

ssize_t read(int file, void *to, size_t bytes)
{
    WHOLE(fate_of_open_file(READS, "read", file),
          REAL("read", ssize_t(*)(int, void *, size_t))(file, to, bytes));
}

ssize_t pread(int file, void *to, size_t bytes, off_t at)
{
    WHOLE(fate_of_open_file(READS, "read", file),
          REAL("pread", ssize_t(*)(int, void *, size_t, off_t))(file, to, bytes, at));
}

ssize_t pread64(int file, void *to, size_t bytes, off64_t at)
{
    WHOLE(fate_of_open_file(READS, "read", file),
          REAL("pread64", ssize_t(*)(int, void *, size_t, off64_t))(file, to, bytes, at));
}
