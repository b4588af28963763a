package org.cellherd.sim;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What a rig is made of.
 *
 * @param startMs time at its beginning, ms UTC
 * @param stepMs longest step of the calculation, 1 to 10000 ms
 * @param packs at least one, all on the same bus
 * @param charger if there is one
 * @param loads in any number
 * @param ambient the air
 * @param faults of packs and boards
 */
record RigParts(
    long startMs,
    long stepMs,
    List<PackModel> packs,
    @Nullable Charger charger,
    List<Load> loads,
    Ambient ambient,
    List<PackFault> faults) {

  /** Refuses what cannot run. */
  public RigParts {
    if (stepMs < 1 || stepMs > 10_000) {
      throw new IllegalArgumentException("step " + stepMs + " ms, allowed 1 to 10000");
    }
    if (packs.isEmpty()) {
      throw new IllegalArgumentException("a rig needs at least one pack");
    }
    packs = List.copyOf(packs);
    loads = List.copyOf(loads);
    faults = List.copyOf(faults);
  }
}
