package org.cellherd.analysis;

import java.util.List;
import org.cellherd.pack.Facts;

/**
 * A reason not to believe some readings.
 *
 * @param kind such as {@code loose-tap}, {@code sum}, {@code thermistor-open}
 * @param cells cells concerned, from 1; empty when it is about the whole pack
 * @param sinceMs since when, ms UTC
 * @param likelyCause for people
 * @param lookAt what to look at first
 * @param facts evidence
 */
public record Suspicion(
    String kind,
    List<Integer> cells,
    long sinceMs,
    String likelyCause,
    String lookAt,
    Facts facts) {
  /** Copies the list. */
  public Suspicion {
    cells = List.copyOf(cells);
  }
}
