package org.cellherd.app.campaign.fault;

import java.util.Random;
import java.util.Set;

/** One kind of fault. It draws its own numbers each time it strikes. */
public interface CampaignFault {

  /** Takes a fault back. */
  @FunctionalInterface
  interface Relief {
    /** Over at once: nothing to take back. */
    Relief NONE = () -> {};

    /** Everything is as before. */
    void relieve() throws Exception;
  }

  /** How a fault begins. */
  @FunctionalInterface
  interface Strike {
    /** Strikes, and tells how to take it back. */
    Relief on(World world, Random random) throws Exception;
  }

  /** Its name, of one enum's constant. */
  String name();

  /** Where it belongs. */
  FaultFamily family();

  /** True when it needs the real process, its ports or its files. */
  boolean isRealOnly();

  /** True when it can strike on a driven clock too. */
  default boolean isSimulated() {
    return !isRealOnly();
  }

  /** Begins it. */
  Strike strike();

  /** Families in whose company nobody could tell what a wrong answer to it came from. */
  default Set<FaultFamily> apartFrom() {
    return Set.of();
  }

  /** True when afterwards the log may lack something, or cannot be read meanwhile. */
  default boolean mayHarmLog() {
    return family() == FaultFamily.FILE || family() == FaultFamily.DISK;
  }

  /** True when it ends the process. */
  default boolean isRestarting() {
    return family() == FaultFamily.FILE;
  }
}
