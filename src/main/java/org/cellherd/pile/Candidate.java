package org.cellherd.pile;

import java.util.OptionalDouble;

/**
 * A unit as the matching sees it.
 *
 * @param id what is written on it
 * @param donor the pack it comes from; empty when unknown
 * @param ah capacity, Ah, above 0
 * @param sdAh standard deviation of the measured capacity, Ah
 * @param mohm resistance, milliohm, if measured
 */
public record Candidate(String id, String donor, double ah, double sdAh, OptionalDouble mohm) {

  /** Refuses what is no capacity. */
  public Candidate {
    if (!(ah > 0 && Double.isFinite(ah) && sdAh >= 0)) {
      throw new IllegalArgumentException(id + ": " + ah + " Ah, standard deviation " + sdAh);
    }
  }

  /** Conductance in siemens times 1000; 0 where the resistance is not known. */
  double conductance() {
    return mohm.isPresent() ? 1 / mohm.getAsDouble() : 0;
  }
}
