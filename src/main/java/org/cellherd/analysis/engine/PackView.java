package org.cellherd.analysis.engine;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Bounce;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * What the analyses know of one pack after the latest entry: what alert rules, page and verbs look
 * at. Valid until the next entry is taken; same thread.
 */
public interface PackView {

  /** The builder's plan. */
  PackPlan plan();

  /** Time of the latest entry, ms UTC. */
  long timeMs();

  /** The latest reading, kept through gaps. */
  Optional<Reading> reading();

  /** True when the latest entry was a reading: limits may be judged; else data are missing. */
  boolean isFresh();

  /** What kind of moment the latest reading shows. */
  Phase phase();

  /** Current beyond the board's dead zone, positive charging, mA; empty when not told. */
  OptionalInt flowingMa();

  /** Current below which this board's print cannot be trusted, mA. */
  int deadZoneMa();

  BalanceView balance();

  /** The verdict of {@link #balance} alone, which costs next to nothing. */
  default BalanceView.State balanceState() {
    return balance().state();
  }

  /** Bad joints, as the last charge that began with a steady current shows; empty before it. */
  Optional<List<BalanceView.Joint>> joints();

  /** The verdict at the end of the last full charge alone, likewise. */
  default Optional<BalanceView.LastTop> lastTop() {
    return balance().lastTop();
  }

  /** State of charge in percent; empty before anything is known. */
  Optional<Interval> socPct();

  /**
   * Time since the pack was last at its top, ms: by the tail current at the charge voltage, or
   * because charger or first cell ended the charge there. A cell at the knee alone is no top. Empty
   * before the first.
   */
  default OptionalLong sinceFullMs() {
    return OptionalLong.empty();
  }

  /** Reasons not to believe some readings, worst first. */
  List<Suspicion> suspicions();

  /**
   * Findings that were completed by the latest entry (a capacity test that ended, a day that
   * closed).
   */
  List<Finding> completed();

  /** Speed of a cell over the last half minute, mV a minute; empty while too little is known. */
  default OptionalDouble slopeMvPerMin(int cell) {
    return OptionalDouble.empty();
  }

  /**
   * True while a cell that rises is higher than it was in the minutes before: neither noise nor the
   * end of a bleeding makes it so.
   */
  default boolean isNewHigh(int cell) {
    return true;
  }

  /**
   * Minutes until a cell is at a limit in mV, at its present speed and bend; empty when it does not
   * move there. Never negative.
   */
  default OptionalDouble minutesTo(int cell, int limitMv) {
    return OptionalDouble.empty();
  }

  /** Trips of the charge switch at the top of this charge; empty below two. */
  default Optional<Bounce> bounce() {
    return Optional.empty();
  }

  /** The finding of a name as it stands now; costs less than all of them. */
  default Optional<Finding> standing(FindingName name) {
    return standing().stream().filter(f -> f.name() == name).findFirst();
  }

  default <R extends Result> Optional<R> standing(FindingName name, Class<R> kind) {
    return standing(name).flatMap(f -> f.result(kind));
  }

  /** The findings as they stand now, at most one of each name. */
  List<Finding> standing();
}
