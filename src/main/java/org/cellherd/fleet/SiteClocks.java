package org.cellherd.fleet;

import java.util.HashSet;
import java.util.OptionalLong;
import java.util.Set;
import org.cellherd.json.IsoTime;

/** Says once of each site that its clock cannot be right. Gatherer's thread. */
final class SiteClocks {

  private static final System.Logger LOG = System.getLogger("org.cellherd.fleet");

  /** 2015-01-01: no site is older than this program, some have logs of before. */
  private static final long FIRST_MS = 1_420_070_400_000L;

  /** Two zones of the earth are at most 26 hours apart. */
  private static final long AHEAD_MS = 26 * 3_600_000L;

  /** So that names that somebody makes up fill no memory. */
  private static final int MOST = 10_000;

  private final Set<String> told = new HashSet<>();

  /**
   * Looks at a time that a site sent.
   *
   * @param ms UTC; empty or 0 where a message has none
   * @param nowMs time here
   */
  void look(String site, OptionalLong ms, long nowMs) {
    if (ms.orElse(0) == 0
        || (ms.getAsLong() >= FIRST_MS && ms.getAsLong() <= nowMs + AHEAD_MS)
        || told.size() >= MOST
        || !told.add(site)) {
      return;
    }
    LOG.log(
        System.Logger.Level.WARNING,
        "site %s: its log says %s; check the clock there. All is kept, with the times that it has"
            .formatted(site, IsoTime.of(ms.getAsLong())));
  }
}
