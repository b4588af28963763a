package org.cellherd.analysis;

import java.util.Optional;
import org.cellherd.pack.Worded;

/** Every kind of finding, named once: the word in MQTT topics, JSON and the database. */
public enum FindingName implements Worded {
  /** Where the top balance stands. */
  BALANCE,
  /** A full charge: when, and the lead of each cell at its top. */
  FULL_CHARGE,
  /** A measured capacity. */
  CAPACITY,
  /** Resistance of each cell and of the links. */
  RESISTANCE,
  /** A long rest and the drift of each cell in it. */
  REST,
  /** Energy of one local day. */
  ENERGY,
  /** Cycles, capacity history and life left. */
  AGEING,
  /** State of charge as an interval. */
  SOC,
  /** Something about the readings is not believable. */
  PLAUSIBILITY;

  /** The finding of a word, or empty. */
  public static Optional<FindingName> ofWord(String word) {
    return Worded.find(values(), word);
  }
}
