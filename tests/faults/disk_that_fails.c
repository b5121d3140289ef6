/* A disk that fails, for LD_PRELOAD: what is done to files under a folder is counted, and from a call on it fails.

   FAIL_UNDER names the folder. disk_fails(from, how_many, error, kinds) sets which calls fail: kinds is a sum of 1 for
   writes, 2 for syncs, 4 for reads, 8 for opening, looking at and removing names. Where FAIL_WHEN names a file, all
   kinds fail with EIO as long as it is there: for a program that can't be asked. The index of the log (-shm) is memory
   and never fails.
*/
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

static long first = -1, many = 0, fault = EIO, which = 0, calls = 0, failures = 0;

void disk_fails(long from, long how_many, long error, long kinds) {
    first = from; many = how_many; fault = error; which = kinds; calls = failures = 0;
}
long disk_calls(void) { return calls; }
long disk_failures(void) { return failures; }

static int is_ours(const char *name) {
    const char *under = getenv("FAIL_UNDER");
    return under && name && !strncmp(name, under, strlen(under)) && !strstr(name, "-shm");
}

static int broken(const char *name, int kind) {
    const char *when = getenv("FAIL_WHEN");
    if (!is_ours(name)) return 0;
    if (when && !syscall(SYS_access, when, F_OK)) { failures++; errno = EIO; return 1; }
    if (first < 0 || !(which & kind)) return 0;
    calls++;
    if (calls < first || calls >= first + many) return 0;
    failures++; errno = fault;
    return 1;
}

static int broken_number(int number, int kind) {
    char link[64], name[4096];
    ssize_t length;
    snprintf(link, sizeof link, "/proc/self/fd/%d", number);
    length = syscall(SYS_readlink, link, name, sizeof name - 1);
    if (length <= 0) return 0;
    name[length] = 0;
    return broken(name, kind);
}

#define REAL(name) static __typeof__(name) *real; if (!real) real = (__typeof__(name) *)dlsym(RTLD_NEXT, #name)
#define ON_NUMBER(kind, result, name, args, pass) result name args { REAL(name); return broken_number(fd, kind) ? -1 : real pass; }
#define ON_NAME(kind, result, name, args, pass) result name args { REAL(name); return broken(path, kind) ? -1 : real pass; }

ON_NUMBER(1, ssize_t, pwrite, (int fd, const void *b, size_t n, off_t o), (fd, b, n, o))
ON_NUMBER(1, ssize_t, pwrite64, (int fd, const void *b, size_t n, off64_t o), (fd, b, n, o))
ON_NUMBER(1, ssize_t, write, (int fd, const void *b, size_t n), (fd, b, n))
ON_NUMBER(1, int, ftruncate, (int fd, off_t n), (fd, n))
ON_NUMBER(1, int, ftruncate64, (int fd, off64_t n), (fd, n))
ON_NUMBER(2, int, fsync, (int fd), (fd))
ON_NUMBER(2, int, fdatasync, (int fd), (fd))
ON_NUMBER(4, ssize_t, pread, (int fd, void *b, size_t n, off_t o), (fd, b, n, o))
ON_NUMBER(4, ssize_t, pread64, (int fd, void *b, size_t n, off64_t o), (fd, b, n, o))
ON_NUMBER(4, ssize_t, read, (int fd, void *b, size_t n), (fd, b, n))
ON_NAME(8, int, unlink, (const char *path), (path))
ON_NAME(8, int, rename, (const char *path, const char *to), (path, to))
ON_NAME(8, int, stat, (const char *restrict path, struct stat *restrict s), (path, s))
ON_NAME(8, int, stat64, (const char *restrict path, struct stat64 *restrict s), (path, s))

static int opened(const char *name, int *error) {
    if (!broken(name, 8)) return 1;
    *error = errno;
    return 0;
}
int open(const char *path, int flags, ...) {
    REAL(open); va_list more; int mode, error;
    va_start(more, flags); mode = va_arg(more, int); va_end(more);
    if (!opened(path, &error)) { errno = error; return -1; }
    return real(path, flags, mode);
}
int open64(const char *path, int flags, ...) {
    REAL(open64); va_list more; int mode, error;
    va_start(more, flags); mode = va_arg(more, int); va_end(more);
    if (!opened(path, &error)) { errno = error; return -1; }
    return real(path, flags, mode);
}
