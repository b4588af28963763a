package org.cellherd.alert;

import java.util.Optional;
import java.util.Set;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;

/**
 * How bad an alert was at its worst; it travels among the alert's evidence. While the alert is
 * active only what and when are known, and only where that was worse than what it says.
 *
 * @param what which cell and how bad at its worst, a clause without full stop
 * @param atMs when that was, ms UTC
 * @param lastedMs how long its condition held, pauses and silences left out, ms
 * @param goneMs when its condition was gone, which may be long before it counts as over, ms UTC
 */
public record Peak(String what, long atMs, long lastedMs, long goneMs) {
  private static final String WHAT = "worst";
  private static final String AT = "worst_at";
  private static final String LASTED = "lasted_s";
  private static final String GONE = "over_since";
  private static final Set<String> NAMES = Set.of(WHAT, AT, LASTED, GONE);
  private static final double MS_PER_S = 1000;

  /** The evidence with this added. */
  public Facts in(Facts evidence) {
    return Facts.of()
        .putAll(evidence)
        .put(WHAT, what)
        .putTime(AT, atMs)
        .put(LASTED, lastedMs / MS_PER_S, 0)
        .putTime(GONE, goneMs)
        .build();
  }

  /** The evidence of an alert that is active, and was worse before, with that added. */
  public static Facts soFar(Facts evidence, String what, long atMs) {
    return Facts.of().putAll(evidence).put(WHAT, what).putTime(AT, atMs).build();
  }

  /** The evidence of an alert without what is said of its peak. */
  public static Facts without(Facts evidence) {
    return new Facts(evidence.list().stream().filter(f -> !NAMES.contains(f.name())).toList());
  }

  /** The peak of an alert that is over, or was worse than it is; empty where none was noted. */
  public static Optional<Peak> of(Alert alert) {
    Facts evidence = alert.evidence();
    Optional<String> what = evidence.text(WHAT);
    if (what.isEmpty() || !(evidence.get(AT).orElse("") instanceof Fact.Time at)) {
      return Optional.empty();
    }
    double seconds = evidence.number(LASTED).orElse(0);
    long goneMs =
        evidence.get(GONE).orElse("") instanceof Fact.Time gone ? gone.ms() : alert.timeMs();
    return Optional.of(new Peak(what.get(), at.ms(), Math.round(seconds * MS_PER_S), goneMs));
  }
}
