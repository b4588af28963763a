package org.cellherd.analysis;

import java.util.List;
import org.cellherd.pack.Facts;

/**
 * A reason not to believe some readings.
 *
 * @param kind what is in doubt
 * @param cells cells concerned, from 1; empty when it is about the whole pack
 * @param sinceMs since when, ms UTC
 * @param likelyCause for people
 * @param lookAt what to look at first
 * @param facts evidence
 */
public record Suspicion(
    Doubted kind,
    List<Integer> cells,
    long sinceMs,
    String likelyCause,
    String lookAt,
    Facts facts) {
  public Suspicion {
    cells = List.copyOf(cells);
  }
}
