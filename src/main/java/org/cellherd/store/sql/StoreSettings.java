package org.cellherd.store.sql;

import java.util.OptionalInt;
import java.util.OptionalLong;

/**
 * How the log is kept.
 *
 * @param atRiskMs readings that a power loss may take, ms: the time between two commits
 * @param pageBytes page size of a new file, a power of two from 512 to 65536
 * @param busyTimeoutMs how long to wait while another process holds the file, ms
 * @param bufferBytes most memory for readings that wait while the disk takes none; the newest stay
 * @param keepDays raw readings older than this are dropped, statistics stay; empty keeps all
 * @param maxFileBytes raw readings are dropped, oldest first, above this size; empty = no limit
 */
public record StoreSettings(
    long atRiskMs,
    int pageBytes,
    int busyTimeoutMs,
    int bufferBytes,
    OptionalInt keepDays,
    OptionalLong maxFileBytes) {

  private static final int MOST_FOR_SMALL_PAGES = 8;
  private static final int LARGE_PAGES = 1024;

  /** Ten seconds at risk, 4 MiB of waiting readings, everything kept. */
  public static final StoreSettings DEFAULT =
      new StoreSettings(10_000, 512, 2_000, 4 << 20, OptionalInt.empty(), OptionalLong.empty());

  /** Refuses what cannot work. */
  public StoreSettings {
    require(atRiskMs >= 0 && atRiskMs <= 3_600_000, "at most an hour at risk, not " + atRiskMs);
    require(
        pageBytes >= 512 && pageBytes <= 65_536 && Integer.bitCount(pageBytes) == 1,
        "page size is a power of two from 512 to 65536, not " + pageBytes);
    require(busyTimeoutMs >= 0, "busy timeout below zero: " + busyTimeoutMs);
    require(bufferBytes >= 4096, "buffer of at least 4096 bytes, not " + bufferBytes);
    require(keepDays.orElse(1) >= 1, "keep at least one day, not " + keepDays);
    require(maxFileBytes.orElse(1 << 20) >= 1 << 20, "at least 1 MiB, not " + maxFileBytes);
  }

  public StoreSettings withAtRiskMs(long value) {
    return new StoreSettings(value, pageBytes, busyTimeoutMs, bufferBytes, keepDays, maxFileBytes);
  }

  public StoreSettings withPageBytes(int value) {
    return new StoreSettings(atRiskMs, value, busyTimeoutMs, bufferBytes, keepDays, maxFileBytes);
  }

  /**
   * The same for so many packs. Small pages waste less of a file. Pages that were freed and are
   * used again lie scattered, and each costs a block of the card, whatever its size: with 1, 8 and
   * 64 packs logs of 512-byte pages are written at the same rate, 4 % and 24 % more (by
   * WrittenBytes).
   */
  public StoreSettings forPacks(int packs) {
    return packs > MOST_FOR_SMALL_PAGES ? withPageBytes(LARGE_PAGES) : this;
  }

  /** The same with another limit of waiting readings. */
  public StoreSettings withBufferBytes(int value) {
    return new StoreSettings(atRiskMs, pageBytes, busyTimeoutMs, value, keepDays, maxFileBytes);
  }

  /** The same with limits on raw readings by age and by size of the file. */
  public StoreSettings withLimits(OptionalInt days, OptionalLong fileBytes) {
    return new StoreSettings(atRiskMs, pageBytes, busyTimeoutMs, bufferBytes, days, fileBytes);
  }

  private static void require(boolean good, String what) {
    if (!good) {
      throw new IllegalArgumentException(what);
    }
  }
}
