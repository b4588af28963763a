/* Stands before the system's library in one process of a campaign: sets the wall clock off, lets
   syncs wait and refuses writes, reads or locks on one file system, there of all files or of those
   with one ending, by the numbers in the file CAMPAIGN_BOX. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

static volatile int64_t none[7];
static volatile int64_t *box = none;
enum { AHEAD_MS, SYNC_MS, ERRNO, DEVICE, ENDING, READ_ERRNO, LOCK_ERRNO };
static const char *const endings[] = {"", "-wal", "-tail"};

__attribute__((constructor)) static void open_box(void) {
  const char *path = getenv("CAMPAIGN_BOX");
  int fd = path ? open(path, O_RDONLY) : -1;
  if (fd < 0) return;
  void *at = mmap(0, 56, PROT_READ, MAP_SHARED, fd, 0);
  close(fd);
  if (at != MAP_FAILED) box = at;
}

#define REAL(type, name, ...) \
  static type (*real)(__VA_ARGS__); \
  if (!real) real = (type (*)(__VA_ARGS__))dlsym(RTLD_NEXT, name)

int clock_gettime(clockid_t id, struct timespec *t) {
  REAL(int, "clock_gettime", clockid_t, struct timespec *);
  int r = real(id, t);
  if (r == 0 && id == CLOCK_REALTIME && box[AHEAD_MS]) {
    int64_t ns = t->tv_nsec + (box[AHEAD_MS] % 1000) * 1000000;
    t->tv_sec += box[AHEAD_MS] / 1000;
    if (ns < 0) { ns += 1000000000; t->tv_sec--; }
    if (ns >= 1000000000) { ns -= 1000000000; t->tv_sec++; }
    t->tv_nsec = ns;
  }
  return r;
}

int gettimeofday(struct timeval *restrict tv, void *restrict zone) {
  struct timespec t;
  (void)zone;
  clock_gettime(CLOCK_REALTIME, &t);
  tv->tv_sec = t.tv_sec;
  tv->tv_usec = t.tv_nsec / 1000;
  return 0;
}

time_t time(time_t *out) {
  struct timespec t;
  clock_gettime(CLOCK_REALTIME, &t);
  if (out) *out = t.tv_sec;
  return t.tv_sec;
}

static int has_ending(int fd) {
  char link[64], path[4096];
  const char *ending = endings[box[ENDING]];
  if (!*ending) return 1;
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t n = readlink(link, path, sizeof path - 1);
  size_t end = strlen(ending);
  return n > (ssize_t)end && memcmp(path + n - end, ending, end) == 0;
}

static int refused_by(int which, int fd) {
  struct stat s;
  if (!box[which] || fstat(fd, &s) != 0 || (int64_t)s.st_dev != box[DEVICE]) return 0;
  if (!has_ending(fd)) return 0;
  errno = (int)box[which];
  return 1;
}

static int refused(int fd) { return refused_by(ERRNO, fd); }

static void wait_for_card(void) {
  if (box[SYNC_MS]) usleep((useconds_t)(box[SYNC_MS] * 1000));
}

int fsync(int fd) {
  REAL(int, "fsync", int);
  wait_for_card();
  return refused(fd) ? -1 : real(fd);
}

int fdatasync(int fd) {
  REAL(int, "fdatasync", int);
  wait_for_card();
  return refused(fd) ? -1 : real(fd);
}

ssize_t write(int fd, const void *b, size_t n) {
  REAL(ssize_t, "write", int, const void *, size_t);
  return refused(fd) ? -1 : real(fd, b, n);
}

ssize_t pwrite64(int fd, const void *b, size_t n, off64_t at) {
  REAL(ssize_t, "pwrite64", int, const void *, size_t, off64_t);
  return refused(fd) ? -1 : real(fd, b, n, at);
}

ssize_t pwrite(int fd, const void *b, size_t n, off_t at) { return pwrite64(fd, b, n, at); }

int ftruncate64(int fd, off64_t n) {
  REAL(int, "ftruncate64", int, off64_t);
  return refused(fd) ? -1 : real(fd, n);
}

int ftruncate(int fd, off_t n) { return ftruncate64(fd, n); }

ssize_t read(int fd, void *b, size_t n) {
  REAL(ssize_t, "read", int, void *, size_t);
  return refused_by(READ_ERRNO, fd) ? -1 : real(fd, b, n);
}

ssize_t pread64(int fd, void *b, size_t n, off64_t at) {
  REAL(ssize_t, "pread64", int, void *, size_t, off64_t);
  return refused_by(READ_ERRNO, fd) ? -1 : real(fd, b, n, at);
}

ssize_t pread(int fd, void *b, size_t n, off_t at) { return pread64(fd, b, n, at); }

int fcntl64(int fd, int cmd, ...) {
  REAL(int, "fcntl64", int, int, ...);
  va_list rest;
  va_start(rest, cmd);
  void *what = va_arg(rest, void *);
  va_end(rest);
  int is_lock = cmd == F_SETLK || cmd == F_SETLKW || cmd == F_OFD_SETLK;
  if (is_lock && ((struct flock *)what)->l_type != F_UNLCK && refused_by(LOCK_ERRNO, fd)) return -1;
  return real(fd, cmd, what);
}

int fcntl(int fd, int cmd, ...) {
  va_list rest;
  va_start(rest, cmd);
  void *what = va_arg(rest, void *);
  va_end(rest);
  return fcntl64(fd, cmd, what);
}
